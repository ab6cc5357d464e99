import { defineClass, MARINE } from './define'

export const dosing = [
  defineClass({
    slug: 'calcium-reactor',
    name: 'Calcium reactor',
    plainName: 'calcium reactor',
    tanks: ['reef'],
    modes: {
      'media-used-up': { name: 'Media used up', sign: 'level in the column low', weeks: 52, shape: 3, look: 'running' },
      'drip-drifted': {
        name: 'Drip drifted or blocked',
        sign: 'drip count off',
        weeks: 6,
        shape: 1.5,
        look: 'measured',
      },
      'pump-fouled': { name: 'Pump fouled', sign: 'no circulation, hum', weeks: 52, shape: 2, look: 'opened' },
      'regulator-drift': {
        name: 'Effluent pH or regulator drifted',
        sign: 'effluent pH off',
        weeks: 13,
        shape: 1.5,
        look: 'measured',
      },
    },
    tasks: {
      'refill-media': {
        name: 'Rinse and refill the media',
        renews: ['media-used-up'],
        minutes: 30,
        opens: true,
        cautions: ['plug-out', 'gas-cylinder'],
      },
      'set-drip': { name: 'Clear and set the drip', renews: ['drip-drifted'], minutes: 8 },
      'service-pump': {
        name: 'Soak and brush the pump',
        renews: ['pump-fouled'],
        minutes: 20,
        opens: true,
        cautions: ['plug-out', 'acid'],
      },
      'set-regulator': {
        name: 'Set regulator and effluent pH',
        renews: ['regulator-drift'],
        minutes: 10,
        cautions: ['gas', 'gas-cylinder'],
      },
    },
  }),
  defineClass({
    slug: 'lime-water-stirrer',
    name: 'Lime-water stirrer',
    plainName: 'lime-water stirrer',
    tanks: ['reef'],
    modes: {
      sludge: { name: 'Sludge, lime spent', sign: 'outflow clear and weak', weeks: 8, shape: 2.5, look: 'opened' },
    },
    tasks: {
      // Never on the top-up's switch: a stuck top-up would pour lime water in.
      'clean-and-refill': {
        name: 'Clean out and refill',
        renews: ['sludge'],
        minutes: 20,
        opens: true,
        cautions: ['plug-out', 'lime-dust'],
      },
    },
  }),
  defineClass({
    slug: 'dosing-pump',
    name: 'Dosing pump',
    plainName: 'dosing pump',
    tanks: ['reef', 'planted'],
    modes: {
      'tube-tired': { name: 'Tube worn', sign: 'rate off by more than 10 %', weeks: 40, shape: 3, look: 'measured' },
      'calibration-off': {
        name: 'Calibration off',
        sign: 'measured dose differs',
        weeks: 10,
        shape: 2,
        look: 'measured',
      },
      'line-blocked': { name: 'Line blocked', sign: 'container does not fall', weeks: 12, shape: 1.5, look: 'running' },
      'reservoirs-swapped': {
        name: 'Reservoirs swapped',
        sign: 'colour and text disagree',
        weeks: 260,
        shape: 1,
        look: 'running',
      },
      'outlet-siphons': {
        name: 'Outlet under water, siphons',
        sign: 'container falls too fast',
        weeks: 52,
        shape: 1,
        look: 'running',
      },
    },
    tasks: {
      'replace-tube': {
        name: 'Fit a new tube and calibrate',
        renews: ['tube-tired', 'calibration-off'],
        minutes: 20,
        opens: true,
        cautions: ['plug-out', 'dosing-fluid'],
      },
      calibrate: {
        name: 'Calibrate into a cylinder',
        renews: ['calibration-off'],
        minutes: 8,
        cautions: ['dosing-fluid'],
      },
      'clear-line': {
        name: 'Clear the line',
        renews: ['line-blocked'],
        minutes: 8,
        cautions: ['mouth', 'dosing-fluid'],
      },
      'check-reservoirs': {
        name: 'Match reservoirs to heads by colour and text',
        renews: ['reservoirs-swapped'],
        minutes: 2,
      },
      'lift-outlet': {
        name: 'Fix the outlet above the water',
        renews: ['outlet-siphons'],
        minutes: 3,
        cautions: ['siphon-back'],
      },
    },
  }),
  defineClass({
    slug: 'auto-top-up',
    name: 'Auto top-up',
    plainName: 'automatic top-up',
    tanks: [...MARINE, 'brackish'],
    modes: {
      'sensor-fouled': {
        name: 'Sensor fouled',
        sign: 'level wanders from its mark',
        weeks: 5,
        shape: 2,
        look: 'running',
      },
      'pump-stuck': {
        name: 'Pump stuck',
        sign: 'level falls, reservoir does not',
        weeks: 104,
        shape: 1.5,
        look: 'running',
      },
      siphon: {
        name: 'Line siphons after the stop',
        sign: 'level goes on rising',
        weeks: 104,
        shape: 1,
        look: 'running',
      },
    },
    tasks: {
      'wipe-sensor': { name: 'Wipe the sensor, test that it stops', renews: ['sensor-fouled'], minutes: 4 },
      'service-pump': {
        name: 'Clean or change the pump',
        renews: ['pump-stuck'],
        minutes: 12,
        opens: true,
        cautions: ['plug-out'],
      },
      'break-siphon': {
        name: 'Fix the outlet above the water',
        renews: ['siphon'],
        minutes: 4,
        cautions: ['siphon-back'],
      },
    },
  }),
  defineClass({
    slug: 'carbon-dioxide-set',
    name: 'CO2 set',
    plainName: 'plant gas',
    tanks: ['planted'],
    modes: {
      'diffuser-clogged': {
        name: 'Diffuser clogged',
        sign: 'coarse or few bubbles',
        weeks: 8,
        shape: 2,
        look: 'running',
      },
      'solenoid-sticks': {
        name: 'Solenoid sticks',
        sign: 'gas at night or none by day',
        weeks: 156,
        shape: 1.5,
        look: 'measured',
        safety: true,
      },
      'check-valve-leaking': {
        name: 'Check valve leaks back',
        sign: 'water in the line',
        weeks: 78,
        shape: 2,
        look: 'measured',
      },
      // Judged by weight: the gauge stays near 57 bar at 20 °C until the liquid is gone.
      'cylinder-empty': {
        name: 'Cylinder near empty',
        sign: 'weight near the empty weight; a falling gauge means change now',
        weeks: 26,
        shape: 3,
        look: 'measured',
      },
    },
    tasks: {
      // A chlorine soak is usual for diffusers; it stands apart from every acid step.
      'clean-diffuser': {
        name: 'Soak and rinse the diffuser',
        renews: ['diffuser-clogged'],
        minutes: 10,
        opens: true,
        cautions: ['bleach'],
      },
      'replace-solenoid': {
        name: 'Replace the solenoid',
        renews: ['solenoid-sticks'],
        minutes: 15,
        cautions: ['gas', 'gas-cylinder'],
      },
      'replace-check-valve': {
        name: 'Fit a new check valve',
        renews: ['check-valve-leaking'],
        minutes: 5,
        cautions: ['gas', 'gas-cylinder'],
      },
      'change-cylinder': {
        name: 'Weigh and change the cylinder: valve shut, new washer, leak test',
        renews: ['cylinder-empty'],
        minutes: 12,
        cautions: ['gas', 'gas-cylinder', 'lifting'],
      },
    },
  }),
]
