import { incompleteGamma } from '@/lib/science/special-functions'
import { cumulativeHazard, type Life, lifeParts, type WeibullParameters } from './life-distribution'

/**
 * How old a device probably was when it was met by chance at a random moment of its life, given that it has lasted `observed` since: the median of the age
 * at first sight. Its density is proportional to S(age + observed) (forward and backward recurrence of a running renewal process); for a
 * posterior its draws are weighed by their chance of having lasted.
 * Units: those of the life. Domain: observed ≥ 0 and finite. Errors: RangeError on bad input. Source: Cox 1962, Renewal Theory, ch. 5.
 * @example ageAtFirstSight({ shape: 1, scale: 10 }, 5) // 6.93, whatever was observed: without wear a life has no memory
 */
export function ageAtFirstSight(life: Life, observed: number): number {
  if (!(observed >= 0 && observed < Infinity)) throw new RangeError(`observed must be 0 or more, got ${observed}`)
  const parts = lifeParts(life)
  // Each draw as a renewal process of its own: density of (age, residual) at first sight is that of the life over its mean.
  const lasting = (age: number) =>
    parts.reduce(
      (sum, part) => sum + part.weight * incompleteGamma(1 / part.shape, hazard(part, age + observed)).upper,
      0,
    )
  const all = lasting(0)
  // So long past its life that nothing is left to divide: it was new when first seen.
  if (!(all > 1e-250)) return 0
  let low = 0
  let high = Math.max(...parts.map(({ scale }) => scale))
  while (lasting(high) > all / 2 && high < 1e300) high *= 2
  for (let i = 0; i < 60 && high - low > 1e-6 * high; i++) {
    const middle = (low + high) / 2
    if (lasting(middle) > all / 2) low = middle
    else high = middle
  }
  return (low + high) / 2
}

const hazard = (part: WeibullParameters, age: number) => cumulativeHazard(part, age)
