// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily } from '../define'

export const alarmRang = defineFamily({
  slug: 'alarm-rang',
  sign: 'An alarm rang',
  causes: {
    temperature: {
      share: 30,
      name: 'Temperature',
      remedy: 'Go on with temperature.',
      minutes: 3,
      seenBy: 'which',
      leadsTo: 'temperature-high',
    },
    leak: {
      share: 20,
      name: 'Leak',
      remedy: 'Go on with water on the floor.',
      minutes: 3,
      seenBy: 'which',
      leadsTo: 'water-on-the-floor',
    },
    level: {
      share: 20,
      name: 'Level',
      remedy: 'Go on with levels.',
      minutes: 3,
      seenBy: 'which',
      leadsTo: 'sump-level-off',
    },
    'false-alarm': {
      share: 20,
      name: 'False alarm: wet or dirty sensor, low battery',
      remedy: 'Dry or clean the sensor, change the battery, prove that the alarm sounds.',
      minutes: 5,
      seenBy: 'second-look',
      mode: 'overflow-and-plumbing/leak-alarm',
      task: 'overflow-and-plumbing/test-leak-alarm',
    },
  },
  checks: {
    which: {
      ask: 'Which alarm was it?',
      kind: 'ask',
      minutes: 1,
      answers: {
        temperature: ['Temperature', ['temperature']],
        leak: ['Leak', ['leak']],
        level: ['Level', ['level']],
        unclear: ['Nobody knows', 'rest'],
      },
    },
    'second-look': {
      ask: 'Do a second thermometer, the floor and the levels agree with the alarm?',
      kind: 'measure',
      minutes: 2,
      answers: {
        no: ['All is well', ['false-alarm']],
        yes: ['The alarm was right', ['temperature', 'leak', 'level']],
      },
    },
  },
})
