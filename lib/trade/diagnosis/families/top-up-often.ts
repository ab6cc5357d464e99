// Shares, minutes and order: common practice, no source; the business's own cases move the shares.
import { defineFamily } from '../define'

export const topUpOften = defineFamily({
  slug: 'top-up-often',
  sign: 'Auto top-up runs too often',
  device: 'auto-top-up',
  first: [['Floor and cup first. Wet near sockets: power safe before a foot goes into water.', 'wet-electrics']],
  setUps: {
    'plug-out': { name: 'Auto top-up plug out', minutes: 1, off: ['auto-top-up'], cautions: ['plug-out'] },
  },
  causes: {
    evaporation: {
      share: 40,
      name: 'Evaporation',
      remedy: 'A bigger reservoir, a lid, or more frequent filling. Salinity stays as it was.',
      minutes: 6,
      seenBy: 'salinity',
    },
    leak: {
      share: 25,
      name: 'A leak',
      remedy: 'Find the leak.',
      minutes: 15,
      seenBy: 'floor-and-cup',
      leadsTo: 'water-on-the-floor',
    },
    sensor: {
      share: 17,
      name: 'Sensor fouled or moved',
      remedy: 'Wipe the sensor, fix it at its mark, prove that the top-up stops.',
      minutes: 4,
      seenBy: 'sensor',
      needs: 'plug-out',
      mode: 'auto-top-up/sensor-fouled',
      task: 'auto-top-up/wipe-sensor',
    },
    skimmer: {
      share: 12,
      name: 'Skimmer set wet',
      remedy: 'Skimmer to the dry side.',
      minutes: 5,
      seenBy: 'floor-and-cup',
      mode: 'protein-skimmer/out-of-tune',
      task: 'protein-skimmer/tune',
      fitted: 'protein-skimmer',
    },
  },
  checks: {
    'floor-and-cup': {
      ask: 'Is the floor damp, or the skimmer cup wet?',
      kind: 'look',
      minutes: 2,
      cautions: ['wet-electrics'],
      answers: {
        floor: ['Floor damp', ['leak'], 'Power safe before a foot or a meter goes into water.'],
        cup: ['Cup wet', ['skimmer']],
        dry: ['Neither', 'rest'],
      },
    },
    salinity: {
      ask: 'Has salinity moved?',
      kind: 'measure',
      minutes: 2,
      after: ['floor-and-cup'],
      answers: {
        fell: ['Fell: salt water left', ['leak', 'skimmer', 'sensor']],
        steady: ['Steady', ['evaporation']],
        unclear: ['No earlier reading', 'rest'],
      },
    },
    room: {
      ask: 'Warmer or drier than usual, a new fan, an open lid?',
      kind: 'ask',
      minutes: 1,
      after: ['floor-and-cup'],
      answers: { yes: ['Yes', ['evaporation']], no: ['No', 'rest'] },
    },
    sensor: {
      ask: 'Plug out, wipe the sensor, plug in again: does the top-up stop at its mark?',
      kind: 'touch',
      minutes: 2,
      needs: 'plug-out',
      after: ['floor-and-cup'],
      answers: { stops: ['Stops now', ['sensor']], 'stopped-before': ['Stops no sooner than before', 'rest'] },
    },
  },
  leaving: ['Top-up back on last, seen to stop.'],
})
