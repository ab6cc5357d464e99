import { checkAmount, checkWithin } from './check-domain'

export type TopOffDrift = { salinity: number; volume: number }

/**
 * What evaporation, top-up and lost tank water make of the salinity. Salt leaves with lost water and comes with the top-up, never with vapour: d(V·S)/dt = T·Sₜ − L·S, with the volume V running at T − E − L. With k = T − E and
 * φ = ∫ dt / V: S = S₀·e^(−kφ) + T·Sₜ·(1 − e^(−kφ)) / k. Without any top-up this is S₀·V₀ / V; with fresh top-up of all that goes S₀·e^(−L·t / V).
 * Units: litres, litres per day, days; practical salinity of any one scale (by volume: good to 0.1 %). `lost` is tank water that goes with its salt: a leak, what a skimmer takes; `toppedUp` keeps the level unless given.
 * Domain: volume above 0 and still above 0 at the end; all else from 0, salinities to 100. Errors: RangeError outside it. Source: mass balance of a completely mixed tank.
 * @example topOffDrift({ volume: 400, salinity: 35, evaporated: 4, topUpSalinity: 35, days: 7 }).salinity // 37.45
 */
export function topOffDrift({
  volume,
  salinity,
  evaporated,
  lost = 0,
  toppedUp = evaporated + lost,
  topUpSalinity = 0,
  days,
}: {
  volume: number
  salinity: number
  evaporated: number
  lost?: number
  toppedUp?: number
  topUpSalinity?: number
  days: number
}): TopOffDrift {
  checkAmount(volume, 'volume', 'L', { aboveZero: true })
  checkWithin(salinity, 'salinity', [0, 100])
  checkWithin(topUpSalinity, 'topUpSalinity', [0, 100])
  checkAmount(evaporated, 'evaporated', 'L a day')
  checkAmount(lost, 'lost', 'L a day')
  checkAmount(toppedUp, 'toppedUp', 'L a day')
  checkAmount(days, 'days')
  const growth = toppedUp - evaporated - lost
  const end = volume + growth * days
  if (!(end > 0))
    throw new RangeError(`the tank runs dry: ${volume} L lose ${-growth} L a day more than comes in, for ${days} days`)
  const phi = growth === 0 ? days / volume : Math.log1p((growth * days) / volume) / growth
  const k = toppedUp - evaporated
  // (1 − e^(−kφ)) / k, which is φ at k = 0.
  const gained = k === 0 ? phi : -Math.expm1(-k * phi) / k
  return { salinity: salinity * Math.exp(-k * phi) + toppedUp * topUpSalinity * gained, volume: end }
}
