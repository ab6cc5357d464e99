// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { FRESH } from '../../catalogue/define'
import { defineFamily } from '../define'

export const plantsMelting = defineFamily({
  slug: 'plants-melting',
  sign: 'Plants melt',
  tanks: FRESH,
  causes: {
    'new-plants': {
      share: 30,
      name: 'New plants adapting',
      remedy: 'Cut the soft leaves, wait three weeks.',
      minutes: 8,
      seenBy: 'age',
    },
    gas: {
      share: 25,
      name: 'CO2 weak or unstable',
      remedy: 'Go on with the indicator.',
      minutes: 3,
      seenBy: 'leaves',
      leadsTo: 'indicator-off-colour',
      tanks: ['planted'],
    },
    food: {
      share: 20,
      name: 'Plant food lacking',
      remedy: 'Feed, one product at a time.',
      minutes: 4,
      seenBy: 'leaves',
    },
    light: {
      share: 15,
      name: 'Light too weak, or timer out',
      remedy: 'Set clock and hours.',
      minutes: 4,
      seenBy: 'light-hours',
      mode: 'power-and-control/clock-wrong',
      task: 'power-and-control/set-clocks',
    },
  },
  checks: {
    age: {
      ask: 'Planted within six weeks?',
      kind: 'ask',
      minutes: 1,
      answers: { yes: ['Yes', ['new-plants']], no: ['No', 'rest'] },
    },
    'light-hours': {
      ask: 'Are clock and light hours right?',
      kind: 'look',
      minutes: 1,
      hit: 0.95,
      answers: { wrong: ['Wrong', ['light']], right: ['Right', 'rest'] },
    },
    leaves: {
      ask: 'Which leaves?',
      kind: 'look',
      minutes: 1,
      answers: {
        old: ['Old ones, yellow or holed', ['food']],
        young: ['Young ones, twisted or pale', ['gas']],
        all: ['All', 'rest'],
      },
    },
  },
})
