// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily } from '../define'

export const afterAPowerCut = defineFamily({
  slug: 'after-a-power-cut',
  sign: 'After a power cut',
  first: [
    'Air on. Look at the sump before anything is switched on.',
    ['An external filter that stood for over two hours stays off until it is emptied and rinsed.', 'stopped-filter'],
  ],
  causes: {
    'pump-stuck': {
      share: 35,
      name: 'A pump does not restart',
      remedy: 'Free the impeller, fit a new set where worn.',
      minutes: 15,
      seenBy: 'running',
      mode: 'return-pump/worn',
      task: 'return-pump/replace-impeller',
      cautions: ['plug-out'],
    },
    'controller-paused': {
      share: 20,
      name: 'Controller or feed pause did not come back',
      remedy: 'End the pause, check every socket.',
      minutes: 4,
      seenBy: 'running',
    },
    clock: {
      share: 15,
      name: 'Clocks wrong',
      remedy: 'Set the clocks.',
      minutes: 4,
      seenBy: 'clocks',
      mode: 'power-and-control/clock-wrong',
      task: 'power-and-control/set-clocks',
    },
    'no-prime': {
      share: 12,
      name: 'Filter does not prime',
      remedy: 'Clean pump and seals, prove that the filter primes itself.',
      minutes: 10,
      seenBy: 'running',
      mode: 'small-filter/does-not-prime',
      task: 'small-filter/service-pump',
      cautions: ['plug-out', 'stopped-filter'],
    },
    'sump-over': {
      share: 10,
      name: 'Sump ran over',
      remedy: 'Go on with water on the floor.',
      minutes: 5,
      seenBy: 'floor',
      leadsTo: 'water-on-the-floor',
    },
  },
  checks: {
    floor: {
      ask: 'Is the floor wet or the sump at its rim?',
      kind: 'look',
      minutes: 1,
      hit: 0.95,
      answers: {
        yes: ['Wet, or at its rim', ['sump-over'], 'Power safe before a foot goes into water.'],
        no: ['No', 'rest'],
      },
    },
    running: {
      ask: 'What does not run?',
      kind: 'look',
      minutes: 2,
      answers: {
        pump: ['A pump hums or stands', ['pump-stuck']],
        filter: ['The filter runs dry', ['no-prime']],
        sockets: ['Sockets are dead', ['controller-paused']],
        'all-run': ['All run', 'rest'],
      },
    },
    clocks: {
      ask: 'Are clocks and timers right?',
      kind: 'look',
      minutes: 1,
      hit: 0.95,
      answers: { wrong: ['Wrong', ['clock']], right: ['Right', 'rest'] },
    },
  },
  leaving: ['All seen running. Somebody on site looks again tonight.'],
})
