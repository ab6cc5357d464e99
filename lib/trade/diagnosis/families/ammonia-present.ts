// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily } from '../define'

export const ammoniaPresent = defineFamily({
  slug: 'ammonia-present',
  sign: 'Ammonia present',
  lookAgainDays: 1,
  first: ['Air on. Feed nothing today. Never raise pH with ammonia present.'],
  causes: {
    dead: {
      share: 25,
      name: 'Something dead in the tank',
      remedy: 'Find and remove the dead.',
      minutes: 8,
      seenBy: 'dead',
    },
    overfed: {
      share: 25,
      name: 'Overfed',
      remedy: 'Agree portions, leave measured ones.',
      minutes: 5,
      seenBy: 'lately',
      mode: 'feeding/overfed',
      task: 'feeding/talk-portions',
    },
    'filter-harmed': {
      share: 20,
      name: 'Filter stopped, dried or cleaned too hard',
      remedy: 'Flow back, media left alone, small matched changes.',
      minutes: 20,
      seenBy: 'lately',
      cautions: ['stopped-filter', 'chlorine-water'],
    },
    'new-tank': {
      share: 10,
      name: 'New tank or many new animals',
      remedy: 'Small matched changes, feed little, wait.',
      minutes: 20,
      seenBy: 'lately',
      cautions: ['chlorine-water'],
    },
    chloramine: {
      share: 10,
      name: 'Chloramine in the tap water',
      remedy: 'Dechlorinate for the whole volume, another product where needed.',
      minutes: 10,
      seenBy: 'tap',
      cautions: ['chlorine-water'],
    },
  },
  checks: {
    dead: {
      ask: 'Count the animals, look for the dead.',
      kind: 'look',
      minutes: 4,
      answers: { found: ['Found, or one missing', ['dead']], none: ['All there', 'rest'] },
    },
    lately: {
      ask: 'What happened in the last week?',
      kind: 'ask',
      minutes: 1,
      answers: {
        cleaned: ['Filter stopped or cleaned', ['filter-harmed']],
        fed: ['Fed a lot', ['overfed']],
        animals: ['New animals or a new tank', ['new-tank']],
        changed: ['Tap water went in', ['chloramine']],
        nothing: ['Nothing', 'rest'],
      },
    },
    tap: {
      ask: 'Ammonia and chlorine in the tap water?',
      kind: 'measure',
      minutes: 6,
      hit: 0.95,
      answers: { some: ['Above 0', ['chloramine']], none: ['0', 'rest'] },
    },
  },
})
