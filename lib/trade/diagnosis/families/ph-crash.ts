// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { FRESH } from '../../catalogue/define'
import { defineFamily } from '../define'

export const phCrash = defineFamily({
  slug: 'ph-crash',
  sign: 'pH crash',
  lookAgainDays: 1,
  tanks: FRESH,
  first: ['Air on. No sudden change of pH: ammonia turns more poisonous as pH rises.'],
  causes: {
    'hardness-used': {
      share: 50,
      name: 'Carbonate hardness used up',
      remedy: 'Small water changes, repeated. Raise carbonate hardness slowly.',
      minutes: 30,
      seenBy: 'hardness',
      cautions: ['chlorine-water'],
    },
    gas: {
      share: 20,
      name: 'CO2 runs on',
      remedy: 'Valve shut, air on, look at the solenoid.',
      minutes: 10,
      seenBy: 'second-test',
      mode: 'carbon-dioxide-set/solenoid-sticks',
      tanks: ['planted'],
      cautions: ['gas', 'gas-cylinder'],
    },
    probe: {
      share: 20,
      name: 'The probe is out',
      remedy: 'Calibrate the probe.',
      minutes: 10,
      seenBy: 'second-test',
      mode: 'instruments/ph-drifted',
      task: 'instruments/calibrate-ph',
    },
  },
  checks: {
    'second-test': {
      ask: 'What does a second pH test say?',
      kind: 'measure',
      minutes: 2,
      hit: 0.95,
      answers: { right: ['pH is right', ['probe']], low: ['Low too', 'rest'] },
    },
    hardness: {
      ask: 'Carbonate hardness?',
      kind: 'measure',
      minutes: 3,
      hit: 0.95,
      answers: { none: ['Nearly 0', ['hardness-used']], some: ['Some', 'rest'] },
    },
    ammonia: {
      ask: 'Ammonia?',
      kind: 'measure',
      minutes: 5,
      answers: { some: ['Above 0', ['hardness-used'], 'Never raise pH now.'], none: ['0', 'rest'] },
    },
  },
})
