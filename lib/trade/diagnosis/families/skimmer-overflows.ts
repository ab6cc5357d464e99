// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { MARINE } from '../../catalogue/define'
import { defineFamily } from '../define'

export const skimmerOverflows = defineFamily({
  slug: 'skimmer-overflows',
  sign: 'Skimmer overflows',
  lookAgainDays: 2,
  device: 'protein-skimmer',
  tanks: MARINE,
  first: [
    {
      text: 'Skimmer plug out. If the skimmer is fed with ozone, ozone off first.',
      off: ['protein-skimmer', 'ozone-generator'],
      cautions: ['plug-out', 'ozone'],
    },
    ['Empty the cup into a toilet or a waste drain, never a food or hand sink.', 'rinse-place'],
    ['Water round sockets: stay clear until the power is off.', 'wet-electrics'],
  ],
  causes: {
    'in-the-water': {
      share: 27,
      name: 'Something in the water',
      remedy: 'Outlet wide open, fresh carbon, skimmer left on the dry side. Look again in 24 to 72 hours.',
      minutes: 10,
      seenBy: 'went-in',
    },
    'sump-level': {
      share: 20,
      name: 'Sump level too high',
      remedy: 'Return running? Top-up stopped? Bring the level back to its mark.',
      minutes: 6,
      seenBy: 'return-running',
      leadsTo: 'sump-level-off',
    },
    'set-wet': {
      share: 16,
      name: 'Set too wet',
      remedy: 'Open the outlet a little at a time, wait between changes.',
      minutes: 6,
      seenBy: 'colour',
      mode: 'protein-skimmer/out-of-tune',
      task: 'protein-skimmer/tune',
    },
    'outlet-blocked': {
      share: 10,
      name: 'Water outlet blocked',
      remedy: 'Clear the outlet and its pipe.',
      minutes: 5,
      seenBy: 'outlet',
      cautions: ['plug-out'],
    },
    'just-cleaned': {
      share: 10,
      name: 'Just cleaned, or new',
      remedy: 'Outlet wide open, dry side. Foam settles within three days.',
      minutes: 4,
      seenBy: 'went-in',
    },
    'cup-drain': {
      share: 5,
      name: 'Cup drain or drain container blocked or full',
      remedy: 'Empty the container, rinse hose and cup.',
      minutes: 5,
      seenBy: 'container',
      cautions: ['rinse-place'],
    },
    'death-or-bloom': {
      share: 5,
      name: 'A death in the tank, or a bloom',
      remedy: 'Find and remove the dead, air on, test ammonia.',
      minutes: 15,
      seenBy: 'dead',
      leadsTo: 'fish-breathing-fast',
    },
  },
  checks: {
    'return-running': {
      ask: 'Is the return running, and is the sump level at its mark?',
      kind: 'look',
      minutes: 1,
      hit: 0.95,
      answers: {
        stopped: [
          'Return stopped or slow',
          ['sump-level'],
          'Top-up off until the return runs again.',
          { off: ['auto-top-up'] },
        ],
        high: [
          'Return runs, level above the mark',
          ['sump-level'],
          'Top-up off until the cause is known.',
          { off: ['auto-top-up'] },
        ],
        'at-mark': ['Return runs, level at the mark', 'rest'],
      },
    },
    'went-in': {
      ask: 'What went in, or was cleaned, in the last 48 hours?',
      kind: 'ask',
      minutes: 1,
      answers: {
        something: ['Food, additive, putty, medicine, water conditioner', ['in-the-water']],
        cleaned: ['The skimmer was cleaned or is new', ['just-cleaned']],
        nothing: ['Nothing', 'rest'],
      },
    },
    container: {
      ask: 'Is the drain container full, or the hose of the cup kinked?',
      kind: 'look',
      minutes: 1,
      hit: 0.95,
      answers: { full: ['Full, kinked or blocked', ['cup-drain']], free: ['Free, or there is none', 'rest'] },
    },
    colour: {
      ask: 'What is in the cup?',
      kind: 'look',
      minutes: 1,
      answers: {
        watery: ['Watery and pale', ['in-the-water', 'sump-level', 'just-cleaned', 'outlet-blocked']],
        thick: ['Dark and thick', ['set-wet', 'cup-drain', 'death-or-bloom']],
        between: ['In between', 'rest'],
      },
    },
    dead: {
      ask: 'Count the animals. Is one missing or dead, or is the water milky?',
      kind: 'look',
      minutes: 2,
      answers: { yes: ['Missing, dead, or milky water', ['death-or-bloom']], no: ['All there, water clear', 'rest'] },
    },
    outlet: {
      ask: 'Plug out: is the water outlet free?',
      kind: 'touch',
      minutes: 3,
      hit: 0.95,
      cautions: ['plug-out'],
      answers: { blocked: ['Blocked or half closed', ['outlet-blocked']], free: ['Free', 'rest'] },
    },
  },
  leaving: [
    'A wet cup and an auto top-up together lower the salinity: measure salinity before you leave.',
    'Leave the skimmer on the dry side and book a follow-up in 24 to 72 hours.',
  ],
})
