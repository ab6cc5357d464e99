// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily } from '../define'

export const coralPaleOrReceding = defineFamily({
  slug: 'coral-pale-or-receding',
  sign: 'Coral pale or receding',
  tanks: ['reef'],
  causes: {
    alkalinity: {
      share: 30,
      name: 'Alkalinity moved',
      remedy: 'Go on with alkalinity.',
      minutes: 5,
      seenBy: 'alkalinity',
      leadsTo: 'alkalinity-falling',
    },
    light: {
      share: 20,
      name: 'Light too strong, or changed',
      remedy: 'Light down, up again over weeks.',
      minutes: 5,
      seenBy: 'changed',
    },
    nutrients: {
      share: 15,
      name: 'Nitrate or phosphate at 0 or high',
      remedy: 'Feed and media adjusted slowly.',
      minutes: 8,
      seenBy: 'nutrients',
    },
    flow: {
      share: 12,
      name: 'Flow too weak or too strong',
      remedy: 'Clean the circulation pump, point it elsewhere.',
      minutes: 15,
      mode: 'circulation-pump/impeller-coralline',
      task: 'circulation-pump/soak-and-brush',
      cautions: ['plug-out', 'acid'],
    },
    pest: {
      share: 13,
      name: 'Pest or a neighbour that stings',
      remedy: 'Dip or move the coral, gloves on.',
      minutes: 15,
      seenBy: 'close-look',
      cautions: ['palytoxin'],
    },
  },
  checks: {
    alkalinity: {
      ask: 'Alkalinity against the last readings?',
      kind: 'measure',
      minutes: 4,
      hit: 0.95,
      answers: { moved: ['Moved by more than 0.35 meq/L', ['alkalinity']], steady: ['Steady', 'rest'] },
    },
    changed: {
      ask: 'Light or place changed in the last month?',
      kind: 'ask',
      minutes: 1,
      answers: { yes: ['Yes', ['light']], no: ['No', 'rest'] },
    },
    'close-look': {
      ask: 'Torch and magnifier: pests, bite marks, a neighbour in reach?',
      kind: 'look',
      minutes: 3,
      answers: { yes: ['Yes', ['pest']], no: ['No', 'rest'] },
    },
    nutrients: {
      ask: 'Nitrate and phosphate?',
      kind: 'measure',
      minutes: 8,
      answers: { off: ['At 0, or high', ['nutrients']], right: ['Right', 'rest'] },
    },
  },
})
