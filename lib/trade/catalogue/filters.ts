import { defineClass, FRESH, MARINE } from './define'

export const filters = [
  defineClass({
    slug: 'external-filter',
    name: 'External filter',
    plainName: 'external filter',
    tanks: [...FRESH, 'brackish'],
    modes: {
      'media-clogged': { name: 'Mechanical media clogged', sign: 'flow drops', weeks: 6, shape: 2.5, look: 'running' },
      'seal-tired': { name: 'Seal worn', sign: 'weeps at the lid', weeks: 104, shape: 2, look: 'opened' },
      'impeller-scale': {
        name: 'Film or scale on the impeller',
        sign: 'less flow, rattle',
        weeks: 52,
        shape: 2,
        look: 'opened',
      },
    },
    tasks: {
      'rinse-media': {
        name: 'Rinse mechanical media in tank water, leave the biological media alone',
        renews: ['media-clogged'],
        minutes: 20,
        opens: true,
        cautions: ['plug-out', 'rinse-place'],
      },
      'replace-seal': {
        name: 'Fit and grease a new seal',
        renews: ['seal-tired'],
        minutes: 10,
        opens: true,
        cautions: ['plug-out'],
      },
      'brush-impeller': {
        name: 'Brush the impeller and its housing',
        renews: ['impeller-scale'],
        minutes: 10,
        opens: true,
        cautions: ['plug-out'],
      },
    },
  }),
  defineClass({
    slug: 'small-filter',
    name: 'Hang-on, internal or sponge filter',
    plainName: 'small filter',
    tanks: FRESH,
    modes: {
      'cartridge-full': {
        name: 'Cartridge or sponge full',
        sign: 'water bypasses it',
        weeks: 3,
        shape: 2.5,
        look: 'running',
      },
      'intake-blocked': { name: 'Intake blocked', sign: 'flow drops', weeks: 4, shape: 1.5, look: 'running' },
      'does-not-prime': {
        name: 'Does not prime itself after a power cut',
        sign: 'runs dry after a restart',
        weeks: 52,
        shape: 1,
        look: 'measured',
      },
    },
    tasks: {
      'rinse-cartridge': {
        name: 'Rinse the cartridge or sponge in tank water',
        renews: ['cartridge-full', 'intake-blocked'],
        minutes: 10,
        opens: true,
        cautions: ['plug-out', 'rinse-place'],
      },
      'clear-intake': { name: 'Clear the intake', renews: ['intake-blocked'], minutes: 3, cautions: ['plug-out'] },
      'service-pump': {
        name: 'Clean pump and seals, prove that it primes itself',
        renews: ['does-not-prime'],
        minutes: 10,
        opens: true,
        cautions: ['plug-out'],
      },
    },
  }),
  defineClass({
    slug: 'filter-sock',
    name: 'Filter socks or fleece roll',
    plainName: 'filter sock',
    tanks: MARINE,
    modes: {
      full: {
        name: 'Sock full or roll used up',
        sign: 'overflow noise',
        weeks: 0.7,
        shape: 3,
        look: 'running',
        mark: 'CP',
      },
      'roll-drive': {
        name: 'Roll drive stopped',
        sign: 'fleece does not move on',
        weeks: 40,
        shape: 1.5,
        look: 'running',
      },
    },
    tasks: {
      swap: { name: 'Swap the sock or roll', renews: ['full'], minutes: 3, doer: 'site staff' },
      'service-drive': {
        name: 'Clean and align the roll drive',
        renews: ['roll-drive'],
        minutes: 10,
        cautions: ['plug-out'],
      },
    },
  }),
  defineClass({
    slug: 'media-reactor',
    name: 'Media reactor',
    plainName: 'media filter',
    tanks: [...MARINE, 'planted'],
    modes: {
      'iron-oxide-spent': { name: 'Iron oxide spent', sign: 'phosphate rises', weeks: 5, shape: 3, look: 'measured' },
      'carbon-spent': { name: 'Carbon spent', sign: 'water turns yellow', weeks: 4, shape: 3, look: 'running' },
    },
    tasks: {
      'change-iron-oxide': {
        name: 'Change the iron oxide, rinse it first',
        renews: ['iron-oxide-spent'],
        minutes: 12,
        opens: true,
      },
      'change-carbon': {
        name: 'Change the carbon, rinse it first',
        renews: ['carbon-spent'],
        minutes: 10,
        opens: true,
      },
    },
  }),
  defineClass({
    slug: 'carbon-dosing',
    name: 'Pellet or carbon dosing',
    plainName: 'nutrient filter',
    tanks: MARINE,
    modes: { clumped: { name: 'Pellets clumped', sign: 'no tumbling', weeks: 8, shape: 1.5, look: 'running' } },
    tasks: {
      loosen: {
        name: 'Loosen the pellets, set the flow',
        renews: ['clumped'],
        minutes: 10,
        opens: true,
        cautions: ['plug-out'],
      },
    },
  }),
  defineClass({
    slug: 'algae-scrubber',
    name: 'Algae scrubber',
    plainName: 'algae filter',
    tanks: MARINE,
    modes: {
      overgrown: { name: 'Screen overgrown', sign: 'thick mat, water splashes', weeks: 1.5, shape: 3, look: 'running' },
    },
    tasks: {
      harvest: {
        name: 'Harvest the screen',
        renews: ['overgrown'],
        minutes: 10,
        opens: true,
        cautions: ['plug-out', 'no-release'],
      },
    },
  }),
  defineClass({
    slug: 'refugium',
    name: 'Refugium',
    plainName: 'plant chamber',
    tanks: MARINE,
    modes: {
      overgrown: {
        name: 'Macroalgae overgrown',
        sign: 'strands reach the pumps',
        weeks: 3,
        shape: 2.5,
        look: 'running',
      },
    },
    tasks: {
      harvest: {
        name: 'Harvest macroalgae, catch the strands',
        renews: ['overgrown'],
        minutes: 12,
        cautions: ['no-release'],
      },
    },
  }),
]
