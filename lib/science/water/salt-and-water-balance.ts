import { checkAmount, checkWithin } from './check-domain'

/** A quantity with its standard deviation. */
export type Estimate = { litres: number; sd: number }

export type BalanceVerdict =
  /** Nothing beyond what misreading explains. */
  | 'in-balance'
  /** Tank water goes, with its salt, somewhere that nobody empties. */
  | 'slow-leak'
  /** The salt that is missing went with what the skimmer took. */
  | 'wet-skimmer'
  /** Tank water goes; what the skimmer took was not measured, so it may be either. */
  | 'leak-or-skimmer'
  /** More is topped up than evaporates, and the salt stays: fresh water goes before it reaches the tank, or more evaporates than thought. */
  | 'fresh-water-lost'
  /** The salt was thinned by more fresh water than the top-up counted. */
  | 'uncounted-fresh-water'
  /** Salinity rose: salt water was topped up, salt was added, or the level fell. */
  | 'salt-gained'

export type SaltAndWaterBalance = {
  /** Tank water that went with its salt, by salinity; null without salinities. */
  lostWithSalt: Estimate | null
  /** The same by water alone: topped up less evaporated; null where evaporation is not known. */
  lostByWater: Estimate | null
  /** Lost less what the skimmer took, by salinity where that is known; null where what it took is not. */
  leaked: Estimate | null
  verdict: BalanceVerdict
}

/** A difference counts from two standard deviations on: about 1 in 40 on either side by chance alone. */
const CLEAR = 2

/**
 * Where the topped-up water went between two looks. A tank kept at one level by fresh top-up T loses vapour E without salt and tank water W with salt: T = E + W, and S₂ = S₁·e^(−W / V). So W = V·ln(S₁ / S₂) by salinity, and
 * W = T − E by water. W is what the skimmer took, and what leaked.
 * Units: litres, in all over the stretch; practical salinity; `sd` the standard deviation of one figure (salinity: of one reading). The sd of V·ln(S₁ / S₂) is V·sd·√(1/S₁² + 1/S₂²). Without any sd every difference is clear.
 * Assumes: level the same at both looks, top-up without salt, no water change and no salt added between them (take the readings after one change and before the next), a well-mixed tank.
 * Fresh water tells nothing by salinity: leave it out and give the evaporation, as seen in weeks without a leak.
 * Domain: volume above 0, salinities above 0 up to 100, the rest from 0. Errors: RangeError outside it, or where neither salinity nor evaporation is given. Source: mass balance.
 * @example saltAndWaterBalance({ volume: 400, toppedUp: 135, salinity: { first: 35, last: 33.7, sd: 0.2 }, skimmed: 1 }).verdict // 'slow-leak'
 */
export function saltAndWaterBalance({
  volume,
  toppedUp,
  toppedUpSd = 0,
  salinity,
  evaporation,
  skimmed,
}: {
  volume: number
  toppedUp: number
  toppedUpSd?: number
  salinity?: { first: number; last: number; sd: number }
  evaporation?: Estimate
  skimmed?: number
}): SaltAndWaterBalance {
  checkAmount(volume, 'volume', 'L', { aboveZero: true })
  checkAmount(toppedUp, 'toppedUp', 'L')
  checkAmount(toppedUpSd, 'toppedUpSd', 'L')
  if (skimmed !== undefined) checkAmount(skimmed, 'skimmed', 'L')
  const bySalt = salinity ? lostBySalt(volume, salinity) : null
  const byWater = evaporation ? lostByWater({ litres: toppedUp, sd: toppedUpSd }, evaporation) : null
  const lost = bySalt ?? byWater
  if (!lost) throw new RangeError('a balance needs salinities or the evaporation, and got neither')
  const leaked = skimmed === undefined ? null : { litres: lost.litres - skimmed, sd: lost.sd }
  const verdict = bySalt
    ? verdictBySalt({ litres: toppedUp, sd: toppedUpSd }, bySalt, byWater, leaked)
    : verdictOfLoss(lost, leaked)
  return { lostWithSalt: bySalt, lostByWater: byWater, leaked, verdict }
}

function lostBySalt(volume: number, { first, last, sd }: { first: number; last: number; sd: number }): Estimate {
  for (const one of [first, last]) {
    checkAmount(one, 'a salinity', '', { aboveZero: true })
    checkWithin(one, 'a salinity', [0, 100])
  }
  checkAmount(sd, 'the sd of a salinity')
  return { litres: volume * Math.log(first / last), sd: volume * sd * Math.hypot(1 / first, 1 / last) }
}

function lostByWater(toppedUp: Estimate, evaporation: Estimate): Estimate {
  checkAmount(evaporation.litres, 'evaporation', 'L')
  checkAmount(evaporation.sd, 'the sd of the evaporation', 'L')
  return { litres: toppedUp.litres - evaporation.litres, sd: Math.hypot(toppedUp.sd, evaporation.sd) }
}

/** Beyond what misreading explains; the last digits of a sum are no litres. */
const isClear = ({ litres, sd }: Estimate) => litres > CLEAR * sd + 1e-9

function verdictBySalt(
  toppedUp: Estimate,
  lost: Estimate,
  byWater: Estimate | null,
  leaked: Estimate | null,
): BalanceVerdict {
  if (isClear({ litres: -lost.litres, sd: lost.sd })) return 'salt-gained'
  // No more tank water can have been replaced than was topped up.
  if (isClear({ litres: lost.litres - toppedUp.litres, sd: Math.hypot(lost.sd, toppedUp.sd) }))
    return 'uncounted-fresh-water'
  if (isClear(lost)) return verdictOfLoss(lost, leaked)
  const unseen = byWater && { litres: byWater.litres - lost.litres, sd: Math.hypot(byWater.sd, lost.sd) }
  return unseen && isClear(unseen) ? 'fresh-water-lost' : 'in-balance'
}

function verdictOfLoss(lost: Estimate, leaked: Estimate | null): BalanceVerdict {
  if (!isClear(lost)) return 'in-balance'
  if (!leaked) return 'leak-or-skimmer'
  return isClear(leaked) ? 'slow-leak' : 'wet-skimmer'
}
