// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { FRESH, MARINE } from '../../catalogue/define'
import { defineFamily } from '../define'

export const cloudyWater = defineFamily({
  slug: 'cloudy-water',
  sign: 'Cloudy water',
  first: [
    'How do the fish breathe? Fast: start there.',
    'Marine and white after dosing: dosing and lime water off at the plug.',
  ],
  causes: {
    bacterial: {
      share: 30,
      name: 'Bacterial bloom',
      remedy: 'Air on, feed less, wait. Blooms eat oxygen. Do not clean the filter hard.',
      minutes: 8,
      seenBy: 'glass',
    },
    stirred: {
      share: 20,
      name: 'Stirred-up dust',
      remedy: 'Fresh floss or sock, wait an hour.',
      minutes: 5,
      seenBy: 'glass',
    },
    precipitate: {
      share: 12,
      name: 'Calcium or alkalinity fell out',
      remedy: 'Dosing stays off, no catching up. Measure, then start again at a lower rate.',
      minutes: 15,
      seenBy: 'fed-or-dosed',
      tanks: MARINE,
    },
    'free-algae': {
      share: 12,
      name: 'Green water: free algae',
      remedy: 'Light down for some days, UV where fitted, feed less.',
      minutes: 8,
      seenBy: 'glass',
      tanks: [...FRESH, 'brackish'],
    },
    bubbles: {
      share: 10,
      name: 'Fine bubbles',
      remedy: 'Find where air is sucked in: level, union, skimmer outlet.',
      minutes: 8,
      seenBy: 'glass',
      leadsTo: 'sump-noise',
    },
    bypass: {
      share: 8,
      name: 'Water passes by the filter',
      remedy: 'Rinse the media in tank water, seat them properly.',
      minutes: 15,
      seenBy: 'filter',
      mode: 'external-filter/media-clogged',
      task: 'external-filter/rinse-media',
      cautions: ['plug-out', 'rinse-place', 'stopped-filter'],
    },
    yellow: {
      share: 4,
      name: 'Yellow: carbon spent',
      remedy: 'Change the carbon, rinse it first.',
      minutes: 8,
      seenBy: 'glass',
      mode: 'media-reactor/carbon-spent',
      task: 'media-reactor/change-carbon',
    },
  },
  checks: {
    glass: {
      ask: 'A glass of tank water on white card, left for ten minutes. What does it do?',
      kind: 'look',
      minutes: 3,
      answers: {
        'clears-upward': ['Clears from the bottom up', ['bubbles']],
        settles: ['Settles to the bottom', ['stirred', 'precipitate', 'bypass']],
        'stays-white': ['Stays white', ['bacterial']],
        green: ['Green', ['free-algae']],
        yellow: ['Yellow and clear', ['yellow']],
        unclear: ['Something else', 'rest'],
      },
    },
    'fed-or-dosed': {
      ask: 'Fed, dosed, cleaned or dug in the last day?',
      kind: 'ask',
      minutes: 1,
      answers: {
        dosed: [
          'Dosed',
          ['precipitate'],
          'Dosing and lime water off at the plug.',
          { off: ['dosing-pump', 'lime-water-stirrer'] },
        ],
        fed: ['Fed a lot, or new food', ['bacterial']],
        stirred: ['Cleaned or dug', ['stirred']],
        nothing: ['Nothing', 'rest'],
      },
    },
    filter: {
      ask: 'Is the flow of the filter weak, or are its media out of place?',
      kind: 'look',
      minutes: 2,
      answers: { yes: ['Weak, or out of place', ['bypass']], no: ['Full flow', 'rest'] },
    },
    dead: {
      ask: 'Count the animals. Is one missing or dead?',
      kind: 'look',
      minutes: 3,
      answers: { yes: ['Missing or dead', ['bacterial']], no: ['All there', 'rest'] },
    },
    'calcium-alkalinity': {
      ask: 'Calcium and alkalinity against the last readings?',
      kind: 'measure',
      minutes: 8,
      tanks: MARINE,
      hit: 0.9,
      answers: { fell: ['Both fell', ['precipitate']], steady: ['Steady', 'rest'] },
    },
  },
  leaving: ['Ammonia measured and written down. Air on until the water is clear.'],
})
