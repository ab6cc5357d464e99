// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { WARM } from '../../catalogue/define'
import { defineFamily } from '../define'

export const temperatureLow = defineFamily({
  slug: 'temperature-low',
  sign: 'Too cold',
  lookAgainDays: 1,
  tanks: WARM,
  first: ['Air on. No hot water into the tank: raise the temperature by no more than 1 °C an hour.'],
  setUps: {
    'heater-off': {
      name: 'Heater plug out, left to cool in the water',
      minutes: 16,
      off: ['heater'],
      cautions: ['plug-out', 'heater-cool-down'],
    },
  },
  causes: {
    'heater-dead': {
      share: 27,
      name: 'Heater dead',
      remedy:
        'Replace the heater: its plug stays out until the new one hangs in the tank. Cracked or misted inside: hands out until its plug is out.',
      minutes: 8,
      seenBy: 'draw',
      needs: 'heater-off',
      mode: 'heater/stuck',
      task: 'heater/replace',
      cautions: ['wet-electrics'],
    },
    'left-off': {
      share: 22,
      name: 'Heater left off',
      remedy: 'Heater on, once it is whole and covered by water. Lamp or draw seen.',
      minutes: 2,
      seenBy: 'lamp',
      cautions: ['wet-electrics'],
    },
    'cold-room': {
      share: 20,
      name: 'Cold room or heating set back',
      remedy: 'Agree the room temperature with the client, or plan more wattage.',
      minutes: 8,
      seenBy: 'room',
    },
    'thermostat-out': {
      share: 18,
      name: 'Thermostat out, or its probe dry',
      remedy: 'Probe back into the water. Adjust where the heater allows it and watch, else replace.',
      minutes: 10,
      seenBy: 'draw',
      mode: 'heater/reads-off',
      cautions: ['plug-out'],
    },
    instrument: {
      share: 9,
      name: 'The thermometer is wrong',
      remedy: 'Compare with a third thermometer, replace the one that is out.',
      minutes: 4,
      seenBy: 'second-thermometer',
    },
  },
  checks: {
    'second-thermometer': {
      ask: 'What does a second thermometer say?',
      kind: 'measure',
      minutes: 1,
      hit: 0.95,
      answers: { right: ['Temperature is right', ['instrument']], low: ['Low too', 'rest'] },
    },
    lamp: {
      ask: 'Is the heater plugged in, switched on and its lamp lit?',
      kind: 'look',
      minutes: 1,
      after: ['second-thermometer'],
      answers: {
        off: ['Off or unplugged', ['left-off']],
        'on-and-lit': ['On and lit', ['heater-dead', 'cold-room']],
        'on-and-dark': ['On, not lit', ['thermostat-out', 'heater-dead']],
        'no-lamp': ['No lamp to see', 'rest'],
      },
    },
    probe: {
      ask: 'Is the probe of the thermostat under water?',
      kind: 'look',
      minutes: 1,
      answers: { dry: ['Dry, or near the heater', ['thermostat-out']], wet: ['Under water, or built in', 'rest'] },
    },
    room: {
      ask: 'How cold is the room, and when is its heating off?',
      kind: 'ask',
      minutes: 1,
      answers: { cold: ['Cold, or set back at night', ['cold-room']], usual: ['As usual', 'rest'] },
    },
    draw: {
      ask: 'Raise the set point, then read a plug meter. Does the heater draw power and warm up?',
      kind: 'measure',
      minutes: 2,
      after: ['second-thermometer'],
      hit: 0.95,
      cautions: ['wet-electrics'],
      answers: {
        nothing: ['No draw', ['heater-dead', 'left-off']],
        draws: ['Powered, warms when turned up', ['thermostat-out', 'cold-room']],
      },
    },
  },
  leaving: ['Set point back where it belongs. Somebody on site reads the temperature again today.'],
})
