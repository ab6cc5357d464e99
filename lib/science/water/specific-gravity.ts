import { checkAmount, checkWithin } from './check-domain'
import {
  checkDensityTemperature,
  DENSITY_SALINITIES,
  heavierBy,
  pureWaterDensity,
  salinityHeavierBy,
} from './sea-water-density'
import { toIpts68 } from './temperature-scale'

type Temperatures = {
  sampleTemperature: number
  referenceTemperature: number
  /** Carries the curve on outside salinity 0 to 42 (below 0 as a straight line): for figures as typed, which are judged afterwards. */
  extrapolate?: boolean
}
const ROUNDING = 1e-9

function checked({ sampleTemperature, referenceTemperature }: Temperatures) {
  checkDensityTemperature(sampleTemperature, 'sampleTemperature')
  checkDensityTemperature(referenceTemperature, 'referenceTemperature')
  return { sample: toIpts68(sampleTemperature), reference: pureWaterDensity(toIpts68(referenceTemperature)) }
}

/**
 * Specific gravity: density of the water at the sample's temperature over that of pure water at the reference temperature, both by EOS-80. An instrument marked 25/25 has both at 25 °C. Without both
 * temperatures the figure is ambiguous: 1.0264 at 25/25 is 1.0234 at 25/4. The glass of a hydrometer read at another temperature than its own grows and shrinks too (0.0003 over 10 °C): left out.
 * Units: °C (ITS-90). Domain: salinity 0 to 42, −2 to 40 °C. Errors: RangeError outside it. Source: as `seawaterDensity`.
 * @example specificGravity({ salinity: 35, sampleTemperature: 25, referenceTemperature: 25 }) // 1.02637
 */
export function specificGravity({ salinity, ...temperatures }: Temperatures & { salinity: number }): number {
  if (temperatures.extrapolate !== true) checkWithin(salinity, 'salinity', DENSITY_SALINITIES)
  const { sample, reference } = checked(temperatures)
  return (pureWaterDensity(sample) + heavierBy(salinity, sample)) / reference
}

/**
 * Practical salinity from a specific gravity: the inverse of `specificGravity`, by Newton's steps.
 * Units, domain and source: as there. Errors: RangeError outside it, also where the salinity would lie outside 0 to 42.
 * @example salinityFromSpecificGravity({ specificGravity: 1.025, sampleTemperature: 25, referenceTemperature: 25 }) // 33.19
 */
export function salinityFromSpecificGravity({
  specificGravity,
  ...temperatures
}: Temperatures & { specificGravity: number }): number {
  const { sample, reference } = checked(temperatures)
  const extrapolate = temperatures.extrapolate === true
  if (!extrapolate) checkAmount(specificGravity, 'specificGravity', '', { aboveZero: true })
  // Written so that a gravity of exactly 1 at one temperature is exactly salinity 0.
  const salinity = salinityHeavierBy((specificGravity - 1) * reference + (reference - pureWaterDensity(sample)), sample)
  const [least, most] = DENSITY_SALINITIES
  if (extrapolate) return salinity
  if (!(salinity >= least - ROUNDING && salinity <= most + ROUNDING))
    throw new RangeError(
      `a specific gravity of ${specificGravity} is a salinity of ${salinity.toPrecision(3)} at these temperatures; it must lie from ${least} to ${most}`,
    )
  return Math.min(most, Math.max(least, salinity))
}
