import { incompleteGamma, logGamma } from '@/lib/science/special-functions'
import { cumulativeHazard, type Life, lifeParts, type ReachedAge, type WeibullParameters } from './life-distribution'

/**
 * How much longer something lasts that was met by chance at a random moment of its life and has lasted `observed` since: the times from now by which
 * the given shares have ended. Forward recurrence of a running renewal process: what is left at first sight lasts beyond t with chance Q(1/k, H(t)), draw by draw.
 * Units: those of the life. Domain: observed ≥ 0 and finite; shares from 0 up to, not including, 1. Errors: RangeError on bad input.
 * Source: Cox 1962, Renewal Theory, ch. 5.
 * @example remainingQuantiles({ shape: 1, scale: 10 }, 5, [0.5])[0] // 6.93, whatever was observed: without wear a life has no memory
 */
export function remainingQuantiles(
  life: Life,
  observed: number,
  shares: readonly number[],
  { alreadyWeighed = false, within = 0 }: ReachedAge = {},
): number[] {
  if (!(observed >= 0 && observed < Infinity)) throw new RangeError(`observed must be 0 or more, got ${observed}`)
  const parts = lifeParts(life).map((part) => metByChance(part, observed))
  if (!alreadyWeighed) weighByHavingLasted(parts)
  return shares.map((share) => {
    if (!(share >= 0 && share < 1)) throw new RangeError(`the share must lie from 0 up to 1, got ${share}`)
    return share === 0 ? 0 : timeUntil(parts, observed, Math.log1p(-share), within)
  })
}

/**
 * How old a device probably was when it was met by chance at a random moment of its life, given that it has lasted `observed` since: the median of the
 * age at first sight. Its density is proportional to S(age + observed), so that it is distributed as what is left after `observed`.
 * Units, domain, errors and source as for `remainingQuantiles`.
 * @example ageAtFirstSight({ shape: 1, scale: 10 }, 5) // 6.93
 */
export function ageAtFirstSight(life: Life, observed: number, reached: ReachedAge = {}): number {
  return remainingQuantiles(life, observed, [0.5], reached)[0] ?? 0
}

/** `lasted`: its chance to have lasted so long, 0 where that is below the smallest number. */
type Met = WeibullParameters & { weight: number; lasted: number; logGammaOfNext: number; mean: number; hazard: number }

function metByChance({ shape, scale, weight }: WeibullParameters & { weight: number }, observed: number): Met {
  const hazard = cumulativeHazard({ shape, scale }, observed)
  const logGammaOfNext = logGamma(1 + 1 / shape)
  const lasted = incompleteGamma(1 / shape, hazard, logGammaOfNext).upper
  return { shape, scale, weight, lasted, logGammaOfNext, mean: scale * Math.exp(logGammaOfNext), hazard }
}

function weighByHavingLasted(parts: Met[]): void {
  // Where no part can have lasted in the range of numbers, the one with the least hazard has it.
  const least = Math.min(...parts.map(({ hazard }) => hazard))
  const noneLasts = parts.every(({ lasted }) => lasted === 0)
  const total = parts.reduce((sum, part) => {
    part.weight *= noneLasts ? Number(part.hazard === least) : part.lasted
    return sum + part.weight
  }, 0)
  for (const part of parts) part.weight /= total
}

/** By guarded Newton steps on the logarithm of the share that is left. */
function timeUntil(parts: readonly Met[], observed: number, target: number, within: number): number {
  let low = 0
  let high = Math.max(...parts.map(({ scale }) => scale))
  const logLeft = (time: number) => {
    let share = 0
    let density = 0
    for (const part of parts) {
      if (part.weight === 0) continue
      const left = leftOf(part, observed, time)
      share += part.weight * left.share
      density += part.weight * left.density
    }
    return { value: Math.log(share), slope: density / share }
  }
  for (let doubled = 0; doubled < 1000 && logLeft(high).value > target; doubled++) [low, high] = [high, 2 * high]
  let time = low + (high - low) / 2
  for (let i = 0; i < 200 && high - low > Math.max(within, 1e-13 * high); i++) {
    const { value, slope } = logLeft(time)
    if (value > target) low = time
    else high = time
    const next = time + (value - target) / slope
    const isInside = next > low && next < high
    if (isInside && Math.abs(next - time) <= Math.max(within / 16, 1e-14 * time)) return next
    time = isInside ? next : low + (high - low) / 2
  }
  return low + (high - low) / 2
}

/** Chance to last `time` more, given that it has lasted, and how fast it falls. */
function leftOf(part: Met, observed: number, time: number): { share: number; density: number } {
  const { shape, scale, lasted, logGammaOfNext, mean, hazard } = part
  const later = cumulativeHazard({ shape, scale }, observed + time)
  if (lasted > 1e-250) {
    const share = incompleteGamma(1 / shape, later, logGammaOfNext).upper / lasted
    return { share, density: Math.exp(-later) / (mean * lasted) }
  }
  // Far beyond its life Q(1/k, H) falls like e^(−H).
  const share = Math.exp(hazard - later)
  return { share, density: share * ((shape * later) / (observed + time)) }
}
