// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily } from '../define'

export const animalMissingOrDead = defineFamily({
  slug: 'animal-missing-or-dead',
  sign: 'Animal missing or dead',
  first: [
    'Do the others breathe fast? Start there.',
    'Venomous animals listed for this tank: look before hands go in.',
  ],
  causes: {
    hiding: {
      share: 25,
      name: 'Hiding, or in the sump',
      remedy: 'Look in sump, weir and filter. Count again at the next visit.',
      minutes: 5,
      seenBy: 'search',
    },
    jumped: {
      share: 15,
      name: 'Jumped',
      remedy: 'Close the gap in the lid.',
      minutes: 8,
      seenBy: 'search',
      mode: 'glass-and-decor/lid-or-brace',
      task: 'glass-and-decor/replace-lid',
    },
    fight: { share: 15, name: 'Fight', remedy: 'Separate the aggressor.', minutes: 15, seenBy: 'marks' },
    disease: {
      share: 20,
      name: 'Disease',
      remedy: 'Photo for the vet, separate tank.',
      minutes: 20,
      seenBy: 'marks',
      leadsTo: 'fish-with-spots',
      cautions: ['medicines'],
    },
    water: {
      share: 15,
      name: 'Water',
      remedy: 'Go on as for fast breathing.',
      minutes: 5,
      seenBy: 'tests',
      leadsTo: 'fish-breathing-fast',
    },
  },
  checks: {
    search: {
      ask: 'Look in sump, weir, filter and on the floor.',
      kind: 'look',
      minutes: 4,
      answers: { alive: ['Found alive', ['hiding']], dry: ['Found dry', ['jumped']], none: ['Not found', 'rest'] },
    },
    marks: {
      ask: 'Torn fins or bites on others or the dead one?',
      kind: 'look',
      minutes: 1,
      answers: {
        bites: ['Bites', ['fight']],
        spots: ['Spots, sores or wasting', ['disease']],
        none: ['None', 'rest'],
      },
    },
    tests: {
      ask: 'Ammonia, temperature, salinity or pH off?',
      kind: 'measure',
      minutes: 8,
      answers: { off: ['Off', ['water']], right: ['Right', 'rest'] },
    },
  },
  leaving: ['A person tells the client before the record shows a death.'],
})
