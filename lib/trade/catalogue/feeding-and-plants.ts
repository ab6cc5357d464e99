import { ALL_TANKS, defineClass, FRESH } from './define'

export const feedingAndPlants = [
  defineClass({
    slug: 'feeding',
    name: 'Feeding and auto-feeder',
    plainName: 'feeding',
    tanks: ALL_TANKS,
    modes: {
      overfed: { name: 'Staff overfeed', sign: 'food left over, nutrients rise', weeks: 8, shape: 1, look: 'running' },
      'feeder-damp': { name: 'Auto-feeder damp', sign: 'food clumps', weeks: 4, shape: 1.5, look: 'running' },
      'feeder-battery': {
        name: 'Auto-feeder battery low',
        sign: 'drum does not turn',
        weeks: 26,
        shape: 3,
        look: 'measured',
      },
    },
    tasks: {
      'talk-portions': { name: 'Agree portions with the staff, leave measured ones', renews: ['overfed'], minutes: 5 },
      'dry-feeder': { name: 'Empty, dry and refill the feeder', renews: ['feeder-damp'], minutes: 6 },
      'change-feeder-battery': { name: 'Change the feeder battery', renews: ['feeder-battery'], minutes: 3 },
    },
  }),
  defineClass({
    slug: 'plants',
    name: 'Plants',
    plainName: 'plants',
    tanks: FRESH,
    modes: {
      overgrown: { name: 'Overgrown', sign: 'shades itself, blocks flow', weeks: 3, shape: 2.5, look: 'running' },
      'gas-timing-drift': {
        name: 'Light and CO2 start drifted apart',
        sign: 'indicator late',
        weeks: 13,
        shape: 1,
        look: 'measured',
      },
    },
    tasks: {
      trim: { name: 'Trim', renews: ['overgrown'], minutes: 20, cautions: ['no-release'] },
      'set-timers': { name: 'Set light and CO2 start', renews: ['gas-timing-drift'], minutes: 5 },
    },
  }),
]
