import { ALL_TANKS, defineClass, MARINE } from './define'

export const waterAndInstruments = [
  defineClass({
    slug: 'reverse-osmosis',
    name: 'RO/DI unit',
    plainName: 'water purifier',
    tanks: [...MARINE, 'warm-soft-water'],
    modes: {
      'prefilters-spent': {
        name: 'Sediment or carbon filter spent',
        sign: 'chlorine after the carbon, pressure drops',
        weeks: 26,
        shape: 3,
        look: 'measured',
      },
      // Rejection = 1 - out / in after 5 minutes' run: watch under 95 %, replace under 90 % or 5 points under its own baseline.
      'membrane-tired': {
        name: 'Membrane worn',
        sign: 'rejection under 90 % or 5 points under its own baseline',
        weeks: 130,
        shape: 2.5,
        look: 'measured',
      },
      'resin-spent': {
        name: 'DI resin spent',
        sign: 'product TDS above 0 to 1',
        weeks: 13,
        shape: 2.5,
        look: 'measured',
      },
    },
    tasks: {
      'change-prefilters': {
        name: 'Change sediment and carbon filters, test chlorine after the carbon',
        renews: ['prefilters-spent'],
        minutes: 15,
        opens: true,
      },
      'replace-membrane': { name: 'Replace the membrane', renews: ['membrane-tired'], minutes: 20, opens: true },
      'change-resin': { name: 'Change the resin', renews: ['resin-spent'], minutes: 10, opens: true },
    },
  }),
  defineClass({
    slug: 'water-change-kit',
    name: 'Water-change kit',
    plainName: 'water-change kit',
    tanks: ALL_TANKS,
    modes: {
      'kit-fouled': {
        name: 'Hose clip, meter or container slimy or slipping',
        sign: 'slime, loose clip',
        weeks: 13,
        shape: 2,
        look: 'opened',
      },
    },
    tasks: { 'clean-kit': { name: 'Clean the kit, check clip and meter', renews: ['kit-fouled'], minutes: 15 } },
  }),
  defineClass({
    slug: 'instruments',
    name: 'Probes, meters and reagents',
    plainName: 'measuring devices',
    tanks: ALL_TANKS,
    modes: {
      'ph-drifted': {
        name: 'pH probe out of calibration',
        sign: 'off in a buffer',
        weeks: 6,
        shape: 2,
        look: 'measured',
      },
      'ph-probe-old': { name: 'pH probe worn out', sign: 'slow, slope too low', weeks: 65, shape: 3, look: 'measured' },
      'salinity-drifted': {
        name: 'Conductivity meter or refractometer drifted',
        sign: 'off against a 35 standard',
        weeks: 4,
        shape: 1.5,
        look: 'measured',
      },
      'redox-drifted': { name: 'Redox probe drifted', sign: 'off in a standard', weeks: 8, shape: 2, look: 'measured' },
      'reagents-old': {
        name: 'Reagents past date or open too long',
        sign: 'date on the pack',
        weeks: 26,
        shape: 3,
        look: 'measured',
      },
    },
    // Every reading hangs on these: they go first.
    tasks: {
      'calibrate-ph': { name: 'Calibrate the pH probe', renews: ['ph-drifted'], minutes: 10 },
      'replace-ph-probe': {
        name: 'Replace and calibrate the pH probe',
        renews: ['ph-probe-old', 'ph-drifted'],
        minutes: 12,
      },
      'calibrate-salinity': { name: 'Check and set against a 35 standard', renews: ['salinity-drifted'], minutes: 5 },
      'calibrate-redox': { name: 'Clean and check the redox probe', renews: ['redox-drifted'], minutes: 8 },
      'replace-reagents': {
        name: 'Replace reagents, write the opening date on them',
        renews: ['reagents-old'],
        minutes: 5,
      },
    },
  }),
  defineClass({
    slug: 'led-light',
    name: 'LED light',
    plainName: 'light',
    tanks: ALL_TANKS,
    modes: {
      dust: { name: 'Dust on fan and fins', sign: 'hot, dims itself', weeks: 26, shape: 2, look: 'running' },
      'driver-failed': {
        name: 'Driver failed',
        sign: 'flicker or dark',
        weeks: 260,
        shape: 1.5,
        look: 'running',
        announces: true,
      },
      'splash-guard': { name: 'Splash guard crusted', sign: 'salt on the guard', weeks: 2, shape: 2, look: 'running' },
    },
    tasks: {
      'blow-out-dust': {
        name: 'Clear dust from fan and fins, away from open water',
        renews: ['dust'],
        minutes: 8,
        cautions: ['plug-out', 'dust-over-water'],
      },
      replace: {
        name: 'Replace the light or its driver',
        renews: ['driver-failed'],
        minutes: 25,
        replaces: true,
        cautions: ['plug-out', 'lifting'],
      },
      'wipe-guard': { name: 'Wipe the splash guard', renews: ['splash-guard'], minutes: 3, cautions: ['plug-out'] },
    },
  }),
  defineClass({
    slug: 'lamp-light',
    name: 'Fluorescent or halide light',
    plainName: 'light',
    tanks: ALL_TANKS,
    modes: {
      'colour-shifted': { name: 'Lamp past its colour', sign: 'colour shift', weeks: 45, shape: 3, look: 'running' },
      'end-caps': { name: 'End caps corroded', sign: 'flicker, brown caps', weeks: 104, shape: 2, look: 'opened' },
    },
    tasks: {
      'replace-lamps': {
        name: 'Fit new lamps',
        renews: ['colour-shifted'],
        minutes: 15,
        opens: true,
        cautions: ['plug-out', 'lamp-mercury'],
      },
      'replace-end-caps': {
        name: 'Replace the end caps',
        renews: ['end-caps'],
        minutes: 20,
        opens: true,
        cautions: ['plug-out'],
      },
    },
  }),
]
