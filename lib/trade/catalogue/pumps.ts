import { ALL_TANKS, defineClass, MARINE } from './define'

export const pumps = [
  defineClass({
    slug: 'return-pump',
    name: 'Return pump',
    plainName: 'main pump',
    tanks: [...MARINE, 'brackish'],
    modes: {
      'impeller-scale': {
        name: 'Film or scale on the impeller',
        sign: 'less flow, warmer',
        weeks: 26,
        shape: 2,
        look: 'opened',
      },
      worn: {
        name: 'Impeller or bearing worn',
        sign: 'noise, will not restart after a power cut',
        weeks: 208,
        shape: 3,
        look: 'opened',
        announces: true,
      },
      'strainer-blocked': { name: 'Strainer blocked', sign: 'flow drops', weeks: 8, shape: 1.5, look: 'running' },
    },
    tasks: {
      'soak-and-brush': {
        name: 'Soak in vinegar or citric acid, brush impeller and housing, rinse',
        renews: ['impeller-scale', 'strainer-blocked'],
        minutes: 20,
        opens: true,
        cautions: ['plug-out', 'acid'],
      },
      'clear-strainer': {
        name: 'Check and clear the strainer (at every visit)',
        renews: ['strainer-blocked'],
        minutes: 3,
        cautions: ['plug-out'],
      },
      'replace-impeller': {
        name: 'Fit a new impeller set',
        renews: ['worn', 'impeller-scale'],
        minutes: 25,
        opens: true,
        cautions: ['plug-out'],
      },
    },
  }),
  defineClass({
    slug: 'circulation-pump',
    name: 'Circulation pump',
    plainName: 'current pump',
    tanks: MARINE,
    modes: {
      'impeller-coralline': {
        name: 'Scale or coralline on the impeller',
        sign: 'weak, hums',
        weeks: 16,
        shape: 2,
        look: 'running',
      },
      'mount-or-cable': {
        name: 'Mount or cable swollen',
        sign: 'slips, cable stiff',
        weeks: 208,
        shape: 2.5,
        look: 'running',
      },
    },
    tasks: {
      'soak-and-brush': {
        name: 'Soak in vinegar or citric acid, brush the impeller, rinse',
        renews: ['impeller-coralline'],
        minutes: 15,
        opens: true,
        cautions: ['plug-out', 'acid'],
      },
      replace: {
        name: 'Replace the pump',
        renews: ['impeller-coralline', 'mount-or-cable'],
        minutes: 15,
        opens: true,
        replaces: true,
        cautions: ['plug-out', 'magnets'],
      },
    },
  }),
  defineClass({
    slug: 'air-pump',
    name: 'Air pump',
    plainName: 'air pump',
    tanks: ['freshwater-community', 'cold-water', 'rift-lake', 'warm-soft-water', 'brackish'],
    modes: {
      'diaphragm-tired': { name: 'Diaphragm worn', sign: 'less air, louder', weeks: 78, shape: 2.5, look: 'running' },
      'stone-clogged': {
        name: 'Air stone clogged',
        sign: 'coarse or few bubbles',
        weeks: 13,
        shape: 2,
        look: 'running',
      },
      'check-valve-leaking': {
        name: 'Check valve leaks back',
        sign: 'water in the air line',
        weeks: 52,
        shape: 2,
        look: 'measured',
      },
    },
    tasks: {
      'replace-diaphragm': {
        name: 'Fit a new diaphragm',
        renews: ['diaphragm-tired'],
        minutes: 10,
        opens: true,
        cautions: ['plug-out'],
      },
      'replace-stone': { name: 'Fit a new air stone', renews: ['stone-clogged'], minutes: 3 },
      'replace-check-valve': {
        name: 'Fit a new check valve',
        renews: ['check-valve-leaking'],
        minutes: 3,
        cautions: ['siphon-back'],
      },
    },
  }),
  defineClass({
    slug: 'battery-backup',
    name: 'Battery back-up',
    plainName: 'emergency air',
    tanks: ALL_TANKS,
    modes: {
      'battery-tired': {
        name: 'Battery no longer holds its charge',
        sign: 'test run too short',
        weeks: 104,
        shape: 2.5,
        look: 'measured',
        safety: true,
      },
    },
    tasks: {
      'replace-battery': {
        name: 'Fit a new battery and test it',
        renews: ['battery-tired'],
        minutes: 10,
        cautions: ['plug-out'],
      },
    },
  }),
]
