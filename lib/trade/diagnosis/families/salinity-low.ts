// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily, SALTY } from '../define'
import { salinityInstrument } from '../salinity-instrument'

export const salinityLow = defineFamily({
  slug: 'salinity-low',
  sign: 'Salinity low',
  tanks: SALTY,
  first: [
    { text: 'Top-up off first.', off: ['auto-top-up'] },
    'Is salinity low on purpose, for a treatment? Then stop here.',
  ],
  causes: {
    'top-up-over': {
      share: 30,
      name: 'Top-up delivers too much',
      remedy: 'Wipe the sensor, fix the outlet above the water, prove that the top-up stops.',
      minutes: 8,
      seenBy: 'level-mark',
      mode: 'auto-top-up/sensor-fouled',
      task: 'auto-top-up/wipe-sensor',
      cautions: ['siphon-back', 'plug-out'],
    },
    instrument: { ...salinityInstrument(20), seenBy: 'standard' },
    'wet-skimmer': {
      share: 17,
      name: 'Skimmer set wet: salt water leaves, fresh water replaces it',
      remedy: 'Skimmer to the dry side.',
      minutes: 5,
      seenBy: 'cup-and-floor',
      mode: 'protein-skimmer/out-of-tune',
      task: 'protein-skimmer/tune',
      fitted: 'protein-skimmer',
    },
    'weak-mix': {
      share: 15,
      name: 'New water mixed weak',
      remedy: 'Mix by instrument, write the salinity on the container.',
      minutes: 6,
      seenBy: 'mix',
    },
    'leak-refilled': {
      share: 13,
      name: 'A leak, refilled with fresh water',
      remedy: 'Find the leak.',
      minutes: 15,
      seenBy: 'cup-and-floor',
      leadsTo: 'water-on-the-floor',
    },
  },
  checks: {
    standard: {
      ask: 'What does the instrument say in a 35 standard?',
      kind: 'measure',
      minutes: 2,
      hit: 0.97,
      answers: { out: ['Out by more than 0.5', ['instrument']], right: ['Right', 'rest'] },
    },
    'reservoir-use': {
      ask: 'How much does the reservoir lose a day, against usual?',
      kind: 'ask',
      minutes: 1,
      answers: {
        more: ['More than usual', ['top-up-over', 'wet-skimmer', 'leak-refilled']],
        usual: ['As usual', 'rest'],
      },
    },
    'level-mark': {
      ask: 'Is the sump level at its mark?',
      kind: 'look',
      minutes: 1,
      answers: {
        above: ['Above', ['top-up-over']],
        steady: ['At its mark', ['wet-skimmer', 'leak-refilled', 'weak-mix', 'instrument']],
        unclear: ['No mark', 'rest'],
      },
    },
    'cup-and-floor': {
      ask: 'Is the cup wet and pale, or the floor damp?',
      kind: 'look',
      minutes: 2,
      cautions: ['wet-electrics'],
      answers: {
        cup: ['Cup wet', ['wet-skimmer']],
        floor: ['Floor damp', ['leak-refilled'], 'Power safe before a foot or a meter goes into water.'],
        dry: ['Neither', 'rest'],
      },
    },
    mix: {
      ask: 'What is the salinity of the mixed water?',
      kind: 'measure',
      minutes: 2,
      hit: 0.95,
      answers: { low: ['Low', ['weak-mix']], right: ['Right', 'rest'] },
    },
  },
  leaving: ['Raise salinity by 1 a day at most. Top-up back on last, seen to stop.'],
})
