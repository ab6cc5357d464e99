// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily } from '../define'

export const clientUnhappy = defineFamily({
  slug: 'client-unhappy',
  sign: 'Nothing is wrong, but the client is unhappy',
  causes: {
    'not-told': {
      share: 35,
      name: 'Nobody told them what was done',
      remedy: 'Tell them in person, send the report after each visit.',
      minutes: 8,
      seenBy: 'ask',
    },
    looks: {
      share: 25,
      name: 'Looks: glass, algae, décor',
      remedy: 'Agree what clean means, with a photo.',
      minutes: 10,
      seenBy: 'ask',
    },
    expectations: {
      share: 15,
      name: 'Expected other animals or another look',
      remedy: 'Owner talks to the client.',
      minutes: 5,
      seenBy: 'ask',
    },
    timing: {
      share: 15,
      name: 'Visits at a bad time, or no access',
      remedy: 'Agree days and hours.',
      minutes: 5,
      seenBy: 'ask',
    },
  },
  checks: {
    ask: {
      ask: 'Ask, and listen: what should be different?',
      kind: 'ask',
      minutes: 4,
      answers: {
        looks: ['How the tank looks', ['looks']],
        news: ['They never hear', ['not-told']],
        animals: ['Animals or style', ['expectations']],
        times: ['When we come', ['timing']],
        unclear: ['They do not say', 'rest'],
      },
    },
    photo: {
      ask: 'Compare the tank with the photo of a year ago: worse?',
      kind: 'look',
      minutes: 1,
      answers: { worse: ['Worse', ['looks']], same: ['As good', 'rest'] },
    },
  },
})
