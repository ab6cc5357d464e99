// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily } from '../define'

export const lightFlickers = defineFamily({
  slug: 'light-flickers',
  sign: 'Light flickers or is dark',
  setUps: {
    'light-off': { name: 'Light plug out', minutes: 1, off: ['light'], cautions: ['plug-out'] },
  },
  causes: {
    driver: {
      share: 30,
      name: 'Driver failed',
      remedy: 'Replace the light or its driver.',
      minutes: 25,
      seenBy: 'pins',
      needs: 'light-off',
      mode: 'led-light/driver-failed',
      task: 'led-light/replace',
      cautions: ['lifting'],
    },
    dust: {
      share: 20,
      name: 'Hot: dust on fan and fins',
      remedy: 'Clear the dust away from open water.',
      minutes: 8,
      seenBy: 'hot',
      needs: 'light-off',
      mode: 'led-light/dust',
      task: 'led-light/blow-out-dust',
      cautions: ['dust-over-water'],
    },
    timer: {
      share: 20,
      name: 'Timer or programme',
      remedy: 'Set clock and programme.',
      minutes: 4,
      seenBy: 'clock',
      mode: 'power-and-control/clock-wrong',
      task: 'power-and-control/set-clocks',
    },
    'plug-or-caps': {
      share: 20,
      name: 'Salt in the plug or end caps',
      remedy: 'Replace what is salted or browned.',
      minutes: 15,
      seenBy: 'pins',
      needs: 'light-off',
      mode: 'power-and-control/plug-salted',
      task: 'power-and-control/clean-plugs',
      cautions: ['fixed-wiring', 'wet-electrics'],
    },
  },
  checks: {
    clock: {
      ask: 'Are clock and programme right?',
      kind: 'look',
      minutes: 1,
      hit: 0.95,
      answers: { wrong: ['Wrong', ['timer']], right: ['Right', 'rest'] },
    },
    hot: {
      ask: 'Without a touch: is the light hot, its fan still or dusty, is there a smell of burning?',
      kind: 'look',
      minutes: 1,
      answers: {
        hot: ['Hot or dusty', ['dust']],
        burning: [
          'Burning smell',
          ['plug-or-caps', 'driver'],
          'Off at the fuse board or isolator with dry hands. Electrician.',
          { ends: true },
        ],
        cool: ['Cool', 'rest'],
      },
    },
    pins: {
      ask: 'Light off at the plug: white or brown at pins or end caps?',
      kind: 'look',
      minutes: 2,
      needs: 'light-off',
      hit: 0.95,
      cautions: ['wet-electrics'],
      answers: { yes: ['White or brown', ['plug-or-caps']], no: ['Clean', 'rest'] },
    },
  },
})
