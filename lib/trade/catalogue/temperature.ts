import { defineClass, MARINE, WARM } from './define'

export const temperature = [
  defineClass({
    slug: 'heater',
    name: 'Heater and thermostat',
    plainName: 'heater',
    tanks: WARM,
    modes: {
      'reads-off': {
        name: 'Reads off by more than 1 °C',
        sign: 'a third thermometer, in a warm-water bath, agrees with the second',
        weeks: 104,
        shape: 2,
        look: 'measured',
        safety: true,
      },
      // The figure is an age limit, not a median (common practice); the median that goes with it is from memory.
      stuck: {
        name: 'Stuck on or off',
        sign: 'temperature alarm',
        weeks: 208,
        shape: 2.5,
        look: 'measured',
        mark: 'CP',
        announces: true,
        ageLimitWeeks: 104,
        safety: true,
      },
    },
    tasks: {
      // Adjusting where the heater allows it comes first and renews nothing by itself: it is watched. Common practice, no source.
      replace: {
        name: 'Replace the heater',
        renews: ['reads-off', 'stuck'],
        minutes: 20,
        replaces: true,
        cautions: ['plug-out', 'heater-cool-down'],
      },
    },
  }),
  defineClass({
    slug: 'chiller',
    name: 'Chiller',
    plainName: 'cooler',
    tanks: [...MARINE, 'cold-water'],
    modes: {
      // Kitchens 8 to 13 weeks: records of such a site move it there.
      'condenser-dust': { name: 'Condenser dusty', sign: 'long runs', weeks: 26, shape: 2, look: 'running' },
      'cooling-lost': {
        name: 'Cools too little with a clean condenser and proven flow',
        sign: 'runs without end, temperature rises',
        weeks: 312,
        shape: 2,
        look: 'measured',
      },
    },
    tasks: {
      'vacuum-condenser': {
        name: 'Vacuum the condenser',
        renews: ['condenser-dust'],
        minutes: 10,
        cautions: ['plug-out'],
      },
      'call-cooling-engineer': {
        name: 'Have a licensed cooling engineer service it',
        renews: ['cooling-lost'],
        minutes: 10,
        cautions: ['refrigerant'],
      },
    },
  }),
]
