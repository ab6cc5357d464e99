// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily } from '../define'

export const surfaceFilm = defineFamily({
  slug: 'surface-film',
  sign: 'Film on the surface',
  causes: {
    'weir-level': {
      share: 35,
      name: 'Weir or outlet does not skim the surface',
      remedy: 'Level up to the weir, outlet ripples the surface.',
      minutes: 5,
      seenBy: 'surface',
      mode: 'overflow-and-plumbing/weir-blocked',
      task: 'overflow-and-plumbing/clear-weir',
      cautions: ['plug-out'],
    },
    feeding: {
      share: 30,
      name: 'Oily food or too much',
      remedy: 'Agree portions and food.',
      minutes: 5,
      seenBy: 'ask',
      mode: 'feeding/overfed',
      task: 'feeding/talk-portions',
    },
    'from-outside': {
      share: 20,
      name: 'Kitchen air, spray, hand cream',
      remedy: 'Lid closed, paper towel over the surface, fresh carbon.',
      minutes: 8,
      seenBy: 'ask',
    },
  },
  checks: {
    surface: {
      ask: 'Does the surface move and run over the weir everywhere?',
      kind: 'look',
      minutes: 1,
      answers: { still: ['Still, or not over the weir', ['weir-level']], moves: ['Moves', 'rest'] },
    },
    ask: {
      ask: 'New food, a kitchen or spray nearby?',
      kind: 'ask',
      minutes: 1,
      answers: {
        food: ['Food', ['feeding']],
        air: ['Kitchen or spray', ['from-outside']],
        neither: ['Neither', 'rest'],
      },
    },
  },
})
