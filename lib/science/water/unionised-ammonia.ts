import { checkAmount, checkWithin } from './check-domain'
import { toKelvin } from './temperature-scale'

export type PhScale = 'total' | 'free' | 'nbs'
export type UnionisedAmmonia = {
  /** In the unit and on the basis of `total`: of mg/L as N it is mg/L as N. */
  concentration: number
  /** Un-ionised share of all ammonia, 0 to 1. */
  fraction: number
}

/** Upper end of fresh water (limnetic) in the Venice system of 1958. */
const FRESH_BELOW = 0.5
/** The activity coefficient was measured in these salinities. */
const NBS_SALINITIES = [20, 40] as const

/**
 * The un-ionised, poisonous part of total ammonia: fraction = 1 / (1 + 10^(pKa − pH)). In fresh water (salinity below 0.5) pKa = 0.09018 + 2729.92 / T, and the scale of pH makes no difference; in salt
 * water pKa also depends on salinity and on the scale of pH. `total` (unless given) and `free` are oceanographers' scales; `nbs` is that of pocket meters set in buffers (and of colour kits): it reads about 0.14 above
 * `total` in sea water, so taking it for `total` shows about a third more un-ionised ammonia than there is.
 * Units: total in any one unit of mass per volume, mg/L as N by custom; concentration in the same; °C. Domain: total from 0, pH 0 to 14; fresh 0 to 50 °C; salt −2 to 40 °C, salinity up to 40;
 * `nbs` in salt water 20 to 40. Errors: RangeError outside it. The pKa of sea water is good to about 5 % of the fraction; temperature scales (0.01 °C) make no difference here.
 * Source: Emerson, Russo, Lund & Thurston 1975, J. Fish. Res. Board Can. 32: 2379–2383; Clegg & Whitfield 1995, Geochim. Cosmochim. Acta 59: 2403–2421.
 * @example unionisedAmmonia({ total: 1, pH: 8, temperature: 24, salinity: 0 }) // { concentration: 0.0502, fraction: 0.0502 }
 */
export function unionisedAmmonia({
  total,
  pH,
  temperature,
  salinity,
  pHScale = 'total',
}: {
  total: number
  pH: number
  temperature: number
  salinity: number
  pHScale?: PhScale
}): UnionisedAmmonia {
  checkAmount(total, 'total')
  checkWithin(pH, 'pH', [0, 14])
  checkWithin(salinity, 'salinity', [0, 40])
  const isFresh = salinity < FRESH_BELOW
  checkWithin(temperature, 'temperature', isFresh ? [0, 50] : [-2, 40], '°C')
  const kelvin = toKelvin(temperature)
  const fraction = 1 / (1 + 10 ** (isFresh ? 0.09018 + 2729.92 / kelvin - pH : inSalt(pH, kelvin, salinity, pHScale)))
  return { concentration: total * fraction, fraction }
}

/** pKa − pH in salt water, both on one scale. */
function inSalt(pH: number, kelvin: number, salinity: number, scale: PhScale): number {
  switch (scale) {
    case 'free':
      return freeScaleConstant(kelvin, salinity) - pH
    case 'total':
      return totalScaleConstant(kelvin, salinity) - pH
    case 'nbs':
      checkWithin(salinity, 'salinity for a pH on the NBS scale in salt water', NBS_SALINITIES)
      return totalScaleConstant(kelvin, salinity) - (pH - nbsAboveTotal(kelvin, salinity))
    default:
      throw new RangeError(`pHScale must be total, free or nbs, got ${scale}`)
  }
}

const inPureWater = (T: number) => 9.244605 - 2729.33 * (1 / 298.15 - 1 / T)

function totalScaleConstant(T: number, S: number): number {
  const root = Math.sqrt(T)
  return (
    inPureWater(T) +
    (0.04203362 - 11.24742 / T) * S ** 0.25 +
    (-13.6416 + 1.176949 * root - 0.02860785 * T + 545.4834 / T) * S ** 0.5 +
    (-0.1462507 + 0.009022648 * root - 1.471361e-4 * T + 10.5425 / T) * S ** 1.5 +
    (0.004669309 - 1.691742e-4 * root - 0.5677934 / T) * S ** 2 +
    (-2.354039e-5 + 0.009698623 / T) * S ** 2.5
  )
}

function freeScaleConstant(T: number, S: number): number {
  return (
    inPureWater(T) +
    (0.0500616 - 9.412696 / T - 2.029559e-7 * T * T) * S ** 0.5 +
    (-0.0142372 + 1.46041e-5 * T + 3.730005 / T) * S +
    (7.1047e-5 - 0.0229021 / T) * S ** 2 +
    (-5.521278e-7 + 1.95413e-4 / T) * S ** 3
  )
}

/**
 * By how much a pH on the NBS scale stands above the total scale in sea water: − log10 of the total activity coefficient of hydrogen takes it to the sea-water scale, and the share of hydrogen fluoride from there to the
 * total scale. Source: Takahashi et al. 1982, GEOSECS Pacific expedition 3: 80; Dickson 1990 (sulphate) and Dickson & Riley 1979 (fluoride) as in CO2SYS. Uncertain by about 0.05.
 */
function nbsAboveTotal(T: number, S: number): number {
  const activity = 1.2948 - 0.002036 * T + (0.0004607 - 0.000001475 * T) * S * S
  const ionic = (19.924 * S) / (1000 - 1.005 * S)
  const perKilogram = 1 - 0.001005 * S
  const sulphate =
    perKilogram *
    Math.exp(
      -4276.1 / T +
        141.328 -
        23.093 * Math.log(T) +
        (-13856 / T + 324.57 - 47.986 * Math.log(T)) * Math.sqrt(ionic) +
        (35474 / T - 771.54 + 114.723 * Math.log(T)) * ionic -
        (2698 / T) * ionic ** 1.5 +
        (1776 / T) * ionic ** 2,
    )
  const fluoride = perKilogram * Math.exp(1590.2 / T - 12.641 + 1.525 * Math.sqrt(ionic))
  const chlorinity = S / 1.80655
  const withSulphate = 1 + ((0.14 / 96.062) * chlorinity) / sulphate
  const withFluoride = withSulphate + ((0.000067 / 18.998) * chlorinity) / fluoride
  return -Math.log10(activity) - Math.log10(withFluoride / withSulphate)
}
