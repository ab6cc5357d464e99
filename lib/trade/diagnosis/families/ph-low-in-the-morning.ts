// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { MARINE } from '../../catalogue/define'
import { defineFamily } from '../define'

export const phLowInTheMorning = defineFamily({
  slug: 'ph-low-in-the-morning',
  sign: 'pH low in the morning',
  tanks: MARINE,
  causes: {
    'room-air': {
      share: 45,
      name: 'Stale room air',
      remedy: 'Air the room, take the skimmer air from outside.',
      minutes: 10,
      seenBy: 'window',
    },
    probe: {
      share: 25,
      name: 'The probe is out',
      remedy: 'Calibrate the probe.',
      minutes: 10,
      seenBy: 'buffer',
      mode: 'instruments/ph-drifted',
      task: 'instruments/calibrate-ph',
    },
    alkalinity: {
      share: 20,
      name: 'Alkalinity low',
      remedy: 'Go on with alkalinity.',
      minutes: 5,
      seenBy: 'alkalinity',
      leadsTo: 'alkalinity-falling',
    },
  },
  checks: {
    buffer: {
      ask: 'What does the probe say in a buffer?',
      kind: 'measure',
      minutes: 3,
      hit: 0.95,
      answers: { out: ['Out by more than 0.1', ['probe']], right: ['Right', 'rest'] },
    },
    window: {
      ask: 'Does pH rise with the window open, or a glass of tank water aired outside?',
      kind: 'measure',
      minutes: 8,
      answers: { rises: ['Rises', ['room-air']], stays: ['Stays', 'rest'] },
    },
    alkalinity: {
      ask: 'Alkalinity?',
      kind: 'measure',
      minutes: 4,
      hit: 0.95,
      answers: { low: ['Low', ['alkalinity']], right: ['Right', 'rest'] },
    },
  },
})
