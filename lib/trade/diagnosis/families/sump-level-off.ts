// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily, WITH_SUMP } from '../define'

export const sumpLevelOff = defineFamily({
  slug: 'sump-level-off',
  sign: 'Display or sump level off its mark',
  fittedAny: WITH_SUMP,
  first: [
    { text: 'Top-up off while you look. Sump near its rim: bail before the return is stopped.', off: ['auto-top-up'] },
  ],
  causes: {
    'top-up': {
      share: 30,
      name: 'Top-up stuck, empty or over-delivering',
      remedy: 'Wipe the sensor, fill the reservoir, prove that the top-up stops.',
      minutes: 8,
      seenBy: 'reservoir',
      mode: 'auto-top-up/sensor-fouled',
      task: 'auto-top-up/wipe-sensor',
      cautions: ['plug-out'],
    },
    weir: {
      share: 22,
      name: 'Weir, sock or drain blocked',
      remedy: 'Clear the weir, swap the sock.',
      minutes: 4,
      seenBy: 'levels',
      mode: 'overflow-and-plumbing/weir-blocked',
      task: 'overflow-and-plumbing/clear-weir',
      cautions: ['plug-out'],
    },
    'return-slow': {
      share: 18,
      name: 'Return slow or stopped',
      remedy: 'Go on with the flow of the return.',
      minutes: 5,
      seenBy: 'levels',
      leadsTo: 'return-flow-low',
    },
    leak: {
      share: 12,
      name: 'Water lost',
      remedy: 'Find the leak.',
      minutes: 15,
      seenBy: 'floor',
      leadsTo: 'water-on-the-floor',
    },
    'set-otherwise': {
      share: 12,
      name: 'Drain valve or mark moved',
      remedy: 'Valve back in small turns, two minutes between. Mark the position.',
      minutes: 8,
      seenBy: 'moved',
    },
  },
  checks: {
    levels: {
      ask: 'Compare display and sump with their marks.',
      kind: 'look',
      minutes: 1,
      answers: {
        'display-high': ['Display high, sump low', ['weir'], 'Return off now.', { off: ['return-pump'] }],
        'display-low': ['Display low, sump high', ['return-slow']],
        'sump-high': ['Display right, sump high', ['top-up', 'set-otherwise']],
        'both-low': [
          'Sump or both low',
          ['leak', 'top-up'],
          'Heater off before the level drops further.',
          { off: ['heater'] },
        ],
        'at-marks': ['Both at their marks', 'rest'],
      },
    },
    reservoir: {
      ask: 'Is the reservoir empty, or much lower than usual?',
      kind: 'look',
      minutes: 1,
      answers: { yes: ['Empty or low', ['top-up', 'leak']], no: ['As usual', 'rest'] },
    },
    moved: {
      ask: 'Was a valve, pipe or pump moved since the last visit?',
      kind: 'ask',
      minutes: 1,
      answers: { yes: ['Yes', ['set-otherwise']], no: ['No', 'rest'] },
    },
    floor: {
      ask: 'Is the floor damp?',
      kind: 'look',
      minutes: 1,
      cautions: ['wet-electrics'],
      hit: 0.9,
      answers: {
        damp: ['Damp', ['leak'], 'Power safe before a foot or a meter goes into water.'],
        dry: ['Dry', 'rest'],
      },
    },
  },
  leaving: ['Levels at their marks. Salinity measured. Top-up back on last.'],
})
