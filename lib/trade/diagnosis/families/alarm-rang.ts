// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { WARM } from '../../catalogue/define'
import { defineFamily } from '../define'

export const alarmRang = defineFamily({
  slug: 'alarm-rang',
  sign: 'An alarm rang',
  first: [['Wet floor: power safe before a foot goes into water.', 'wet-electrics']],
  causes: {
    // The slug is older than the cause below: cases of it went on with too warm.
    temperature: {
      share: 18,
      name: 'Too warm',
      remedy: 'Go on with too warm.',
      minutes: 3,
      seenBy: 'which',
      leadsTo: 'temperature-high',
    },
    'temperature-low': {
      share: 12,
      name: 'Too cold',
      remedy: 'Go on with too cold.',
      minutes: 3,
      seenBy: 'which',
      leadsTo: 'temperature-low',
      tanks: WARM,
    },
    leak: {
      share: 20,
      name: 'Leak',
      remedy: 'Go on with water on the floor.',
      minutes: 3,
      seenBy: 'which',
      cautions: ['wet-electrics'],
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
      cautions: ['wet-electrics'],
    },
  },
  checks: {
    which: {
      ask: 'Which alarm was it?',
      kind: 'ask',
      minutes: 1,
      answers: {
        temperature: ['Temperature', ['temperature', 'temperature-low']],
        warm: ['Too warm', ['temperature']],
        cold: ['Too cold', ['temperature-low']],
        leak: ['Leak', ['leak']],
        level: ['Level', ['level']],
        unclear: ['Nobody knows', 'rest'],
      },
    },
    'second-look': {
      ask: 'Do a second thermometer, the floor and the levels agree with the alarm?',
      kind: 'measure',
      minutes: 2,
      cautions: ['wet-electrics'],
      answers: {
        no: ['All is well', ['false-alarm']],
        warm: ['Too warm', ['temperature']],
        cold: ['Too cold', ['temperature-low']],
        wet: ['Floor wet', ['leak'], 'Power safe before a foot goes into water.'],
        level: ['A level off its mark', ['level']],
      },
    },
  },
})
