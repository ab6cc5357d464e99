import { checkAmount, checkWithin } from './check-domain'
import { toIpts68 } from './temperature-scale'

const A = [0.008, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081] as const
const B = [0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144] as const
/** mS/cm of sea water of salinity 35 at 15 °C (IPTS-68) and the surface: Culkin & Smith 1980, as TEOS-10 takes it. */
const STANDARD_MS_PER_CM = 42.914
/** Below this the scale of 1978 is out of range, and its extension to fresher water takes over. */
const EXTENDED_BELOW = 2
/** Above this the scale is not defined. */
const MOST = 42
const ROUNDING = 1e-9

const polynomial = (coefficients: readonly number[], x: number) =>
  coefficients.reduceRight((sum, coefficient) => sum * x + coefficient, 0)
const warmth = (t: number) => (t - 15) / (1 + 0.0162 * (t - 15))

/** The scale itself, from the ratio to water of salinity 35 at the same temperature and the surface. */
const scaleOf1978 = (ratio: number, t: number) =>
  polynomial(A, Math.sqrt(ratio)) + warmth(t) * polynomial(B, Math.sqrt(ratio))

/** What Hill, Dauphinee & Woods 1986 take off in fresher water. */
function lessInFresher(ratio: number, t: number): number {
  const x = 400 * ratio
  const root = 10 * Math.sqrt(ratio)
  return A[0] / (1 + x * (1.5 + x)) + (B[0] * warmth(t)) / (1 + root * (1 + root * (1 + root)))
}

/** The ratio at which the scale shows 2: secant steps on a curve that is nearly straight there. */
function ratioOfTwo(t: number): number {
  let [from, to] = [0.06, 0.07]
  for (let step = 0; step < 20 && Math.abs(to - from) > 1e-14; step += 1) {
    const [low, high] = [scaleOf1978(from, t), scaleOf1978(to, t)]
    if (low === high) break
    ;[from, to] = [to, to - ((high - EXTENDED_BELOW) * (to - from)) / (high - low)]
  }
  return to
}

/**
 * Practical salinity (PSS-78) from a conductivity ratio: the conductivity of the sample over that of sea water of salinity 35 at 15 °C and the surface. The ratio is freed of temperature and pressure, then
 * S = Σ aᵢ Rt^(i/2) + (t − 15) / (1 + 0.0162 (t − 15)) · Σ bᵢ Rt^(i/2). Below 2 the extension to fresher water is used, scaled so that the two meet at 2.
 * Units: °C (ITS-90), pressure of the water alone in dbar (0, the surface, unless given; a metre of water is about one). Salinity has no unit.
 * Domain: −2 to 35 °C, 0 to 10,000 dbar, salinity up to 42. Errors: RangeError outside it. A ratio of 0 is salinity 0.
 * Source: Fofonoff & Millard 1983, Unesco technical papers in marine science 44; below 2 Hill, Dauphinee & Woods 1986, IEEE J. Oceanic Eng. 11: 109–112, with the meeting at 2 after the TEOS-10 manual (2010).
 * @example practicalSalinity({ conductivityRatio: 1, temperature: 15 / 1.00024 }) // 35
 */
export function practicalSalinity({
  conductivityRatio,
  temperature,
  pressure = 0,
}: {
  conductivityRatio: number
  temperature: number
  pressure?: number
}): number {
  checkAmount(conductivityRatio, 'conductivityRatio')
  checkWithin(temperature, 'temperature', [-2, 35], '°C')
  checkWithin(pressure, 'pressure', [0, 10_000], 'dbar')
  const t = toIpts68(temperature)
  const ofPressure =
    1 +
    (pressure * polynomial([2.07e-5, -6.37e-10, 3.989e-15], pressure)) /
      (polynomial([1, 3.426e-2, 4.464e-4], t) + (4.215e-1 - 3.107e-3 * t) * conductivityRatio)
  const ofTemperature = polynomial([0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9], t)
  const ratio = conductivityRatio / (ofPressure * ofTemperature)
  const salinity = scaleOf1978(ratio, t)
  // Far beyond the scale the curve turns back: the ratio says so before the curve does.
  if (!(salinity <= MOST + ROUNDING && ratio < 2))
    throw new RangeError(`salinity is defined up to ${MOST}; a conductivity ratio of ${conductivityRatio} is more`)
  if (salinity >= EXTENDED_BELOW) return salinity
  const meeting = EXTENDED_BELOW / (EXTENDED_BELOW - lessInFresher(ratioOfTwo(t), t))
  return Math.max(0, meeting * (salinity - lessInFresher(ratio, t)))
}

/**
 * Practical salinity from the conductivity that a meter shows: conductivity over 42.914 mS/cm is the ratio that `practicalSalinity` takes.
 * A meter that corrects to 25 °C: give 25 whatever the water has; one that does not: the water's temperature (2 % a degree hang on it).
 * Units: mS/cm, °C (ITS-90), dbar. Domain and errors: as `practicalSalinity`; conductivity from 0.
 * Source: as there; 42.914 mS/cm from Culkin & Smith 1980, IEEE J. Oceanic Eng. 5: 22–23.
 * @example salinityFromConductivity({ conductivity: 53, temperature: 25 }) // 34.95
 */
export function salinityFromConductivity({
  conductivity,
  temperature,
  pressure,
}: {
  conductivity: number
  temperature: number
  pressure?: number
}): number {
  checkAmount(conductivity, 'conductivity', 'mS/cm')
  return practicalSalinity({ conductivityRatio: conductivity / STANDARD_MS_PER_CM, temperature, pressure })
}
