/**
 * Salinity and the specific gravity that hydrometers and refractometers show: the density of the water beside that of pure water,
 * both at 25 °C. Density by the international equation of state of sea water at the surface (EOS-80; Unesco technical papers in
 * marine science 44, 1983; coefficients from memory, held against its check value in the tests). Instruments set at 20 °C differ
 * by less than 0.4 in salinity.
 */
const CELSIUS = 25
const power = (exponent: number) => CELSIUS ** exponent

const PURE_KG_PER_M3 =
  999.842594 +
  6.793952e-2 * CELSIUS -
  9.09529e-3 * power(2) +
  1.001685e-4 * power(3) -
  1.120083e-6 * power(4) +
  6.536332e-9 * power(5)
const PER_SALINITY = 0.824493 - 4.0899e-3 * CELSIUS + 7.6438e-5 * power(2) - 8.2467e-7 * power(3) + 5.3875e-9 * power(4)
const PER_SALINITY_TO_3_HALVES = -5.72466e-3 + 1.0227e-4 * CELSIUS - 1.6546e-6 * power(2)
const PER_SALINITY_SQUARED = 4.8314e-4
const MOST_STEPS = 50

/** Practical salinity → specific gravity at 25 °C; below zero a straight line, so that there is always one way back. */
export function gravityOfSalinity(salinity: number): number {
  return 1 + heavierBy(salinity) / PURE_KG_PER_M3
}

/** Specific gravity at 25 °C → practical salinity. */
export function salinityOfGravity(gravity: number): number {
  const wanted = (gravity - 1) * PURE_KG_PER_M3
  let salinity = wanted / PER_SALINITY
  // Newton's steps: the curve rises everywhere and is nearly straight.
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const change = (heavierBy(salinity) - wanted) / heavierPerUnit(salinity)
    salinity -= change
    if (Math.abs(change) <= 1e-13 * Math.abs(salinity)) break
  }
  return salinity
}

/** Whether a figure written for a salinity is what a hydrometer shows: animals live in fresh water or in far saltier than this. */
export const looksLikeGravity = (figure: number) => figure > 1 && figure < 1.05

/** By how many kg/m3 water of this salinity is heavier than pure water. */
function heavierBy(salinity: number): number {
  if (salinity <= 0) return PER_SALINITY * salinity
  return PER_SALINITY * salinity + PER_SALINITY_TO_3_HALVES * salinity ** 1.5 + PER_SALINITY_SQUARED * salinity ** 2
}

function heavierPerUnit(salinity: number): number {
  if (salinity <= 0) return PER_SALINITY
  return PER_SALINITY + 1.5 * PER_SALINITY_TO_3_HALVES * Math.sqrt(salinity) + 2 * PER_SALINITY_SQUARED * salinity
}
