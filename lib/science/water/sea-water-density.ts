import { checkWithin } from './check-domain'
import { toIpts68 } from './temperature-scale'

export const DENSITY_SALINITIES = [0, 42] as const
const TEMPERATURES = [-2, 40] as const
const PER_SALINITY_SQUARED = 4.8314e-4
const MOST_STEPS = 50

/** Density of pure water at the surface, kg/m3; t in °C on IPTS-68. */
export function pureWaterDensity(t: number): number {
  return 999.842594 + t * (6.793952e-2 + t * (-9.09529e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9))))
}

function saltTerms(t: number) {
  return {
    linear: 0.824493 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9))),
    threeHalves: -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6),
  }
}

/** By how many kg/m3 water of this salinity is heavier than pure water. Below salinity 0 a straight line, so that there is always one way back. */
export function heavierBy(salinity: number, t: number): number {
  const { linear, threeHalves } = saltTerms(t)
  if (salinity <= 0) return linear * salinity
  return linear * salinity + threeHalves * salinity ** 1.5 + PER_SALINITY_SQUARED * salinity ** 2
}

/** The salinity at which water is heavier than pure water by so many kg/m3: Newton's steps on a curve that rises everywhere and is nearly straight. */
export function salinityHeavierBy(wanted: number, t: number): number {
  const { linear, threeHalves } = saltTerms(t)
  let salinity = wanted / linear
  for (let step = 0; step < MOST_STEPS; step += 1) {
    const slope =
      salinity <= 0 ? linear : linear + 1.5 * threeHalves * Math.sqrt(salinity) + 2 * PER_SALINITY_SQUARED * salinity
    const change = (heavierBy(salinity, t) - wanted) / slope
    salinity -= change
    if (Math.abs(change) <= 1e-13 * Math.abs(salinity)) break
  }
  return salinity
}

export function checkDensityTemperature(value: number, name: string): void {
  checkWithin(value, name, TEMPERATURES, '°C')
}

/**
 * Density of sea water at the surface, by the international equation of state of 1980 (EOS-80): that of pure water, plus terms in salinity, its power 3/2 and its square.
 * Units: kg/m3; practical salinity; °C (ITS-90, converted). Domain: salinity 0 to 42, −2 to 40 °C. Errors: RangeError outside it.
 * Source: Millero & Poisson 1981, Deep-Sea Res. 28A: 625–629; Fofonoff & Millard 1983, Unesco technical papers in marine science 44.
 * @example seawaterDensity({ salinity: 35, temperature: 25 / 1.00024 }) // 1023.34306
 */
export function seawaterDensity({ salinity, temperature }: { salinity: number; temperature: number }): number {
  checkWithin(salinity, 'salinity', DENSITY_SALINITIES)
  checkDensityTemperature(temperature, 'temperature')
  const t = toIpts68(temperature)
  return pureWaterDensity(t) + heavierBy(salinity, t)
}
