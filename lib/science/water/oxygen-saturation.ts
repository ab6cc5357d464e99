import { checkWithin } from './check-domain'
import { toKelvin } from './temperature-scale'

/**
 * Dissolved oxygen in water at rest under moist air: ln of mg/L at 1 atm is a polynomial in 1/T, less salinity times another; pressure then scales by (P − u)(1 − θP) / ((1 − u)(1 − θ)), u the vapour pressure.
 * Units: mg/L; °C; practical salinity; pressure of the air in atm (1 unless given; 1 atm = 1013.25 hPa = 760 mmHg), as it is at the place, not reduced to sea level.
 * Domain: 0 to 40 °C, salinity 0 to 40, 0.5 to 1.1 atm. Errors: RangeError outside it. The scale of temperature moves it by less than 0.001 mg/L and is left out, as in the published tables.
 * Source: Benson & Krause 1980 and 1984, Limnol. Oceanogr. 25: 662–671 and 29: 620–632, as taken over by USGS technical memorandum 2011.03.
 * @example oxygenSaturation({ temperature: 25, salinity: 35 }) // 6.772
 */
export function oxygenSaturation({
  temperature,
  salinity,
  pressure = 1,
}: {
  temperature: number
  salinity: number
  pressure?: number
}): number {
  checkWithin(temperature, 'temperature', [0, 40], '°C')
  checkWithin(salinity, 'salinity', [0, 40])
  checkWithin(pressure, 'pressure', [0.5, 1.1], 'atm')
  const T = toKelvin(temperature)
  const atOneAtmosphere = Math.exp(
    -139.34411 +
      1.575701e5 / T -
      6.642308e7 / T ** 2 +
      1.2438e10 / T ** 3 -
      8.621949e11 / T ** 4 -
      salinity * (0.017674 - 10.754 / T + 2140.7 / T ** 2),
  )
  const vapour = Math.exp(11.8571 - 3840.7 / T - 216961 / T ** 2)
  const theta = 0.000975 - 1.426e-5 * temperature + 6.436e-8 * temperature ** 2
  return (atOneAtmosphere * ((pressure - vapour) * (1 - theta * pressure))) / ((1 - vapour) * (1 - theta))
}
