// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily, SALTY } from '../define'
import { salinityInstrument } from '../salinity-instrument'

export const salinityHigh = defineFamily({
  slug: 'salinity-high',
  sign: 'Salinity high',
  tanks: SALTY,
  causes: {
    'top-up-stopped': {
      share: 60,
      name: 'Top-up empty or stopped',
      remedy: 'Fill the reservoir with RO water, free pump and sensor, let the level come back slowly.',
      minutes: 8,
      seenBy: 'reservoir',
      mode: 'auto-top-up/pump-stuck',
      task: 'auto-top-up/service-pump',
      cautions: ['plug-out'],
    },
    instrument: { ...salinityInstrument(20), seenBy: 'standard' },
    'strong-mix': {
      share: 15,
      name: 'New water mixed strong',
      remedy: 'Thin the mix, write the salinity on the container.',
      minutes: 6,
      seenBy: 'mix',
    },
  },
  checks: {
    reservoir: {
      ask: 'Is the reservoir empty, or the sump below its mark?',
      kind: 'look',
      minutes: 1,
      hit: 0.95,
      answers: { yes: ['Empty, or below', ['top-up-stopped']], no: ['Neither', 'rest'] },
    },
    standard: {
      ask: 'What does the instrument say in a 35 standard?',
      kind: 'measure',
      minutes: 2,
      hit: 0.97,
      answers: { out: ['Out by more than 0.5', ['instrument']], right: ['Right', 'rest'] },
    },
    mix: {
      ask: 'What is the salinity of the mixed water?',
      kind: 'measure',
      minutes: 2,
      hit: 0.95,
      answers: { high: ['High', ['strong-mix']], right: ['Right', 'rest'] },
    },
  },
  leaving: ['Bring salinity down by 1 to 2 a day at most.'],
})
