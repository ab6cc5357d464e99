import { checkAmount, checkWithin } from './check-domain'
import { seawaterDensity } from './sea-water-density'
import { toIpts68 } from './temperature-scale'

const SECONDS_PER_DAY = 86_400
const SECONDS_PER_HOUR = 3_600

export type HeaterPower = {
  /** Through glass and surface to the room; below 0 where the room is the warmer. */
  throughWalls: number
  /** Taken along by what evaporates. */
  byEvaporation: number
  /** To hold the temperature; below 0 where pumps and lights alone make it too warm. */
  holding: number
  /** To warm up in the time given, apart from losses; 0 where no warming was asked for. */
  warming: number
  /** What the heaters must give: holding and warming, at least 0. */
  heaters: number
}

/** Specific heat of sea water at the surface, J/(kg·K). Source: Millero, Perron & Desnoyers 1973, J. Geophys. Res. 78: 4499–4507, as in Unesco 44. */
function specificHeat(salinity: number, celsius: number): number {
  const t = toIpts68(celsius)
  return (
    4217.4 +
    t * (-3.720283 + t * (0.1412855 + t * (-2.654387e-3 + t * 2.093236e-5))) +
    (-7.643575 + t * (0.1072763 - t * 1.38385e-3)) * salinity +
    (0.1770383 + t * (-4.07718e-3 + t * 5.148e-5)) * salinity ** 1.5
  )
}

/**
 * Heating power by a heat balance: U · area · (tank − room) + evaporation · latent heat − heat of pumps and lights; and, to warm up, density · volume · specific heat · degrees / time.
 * The latent heat is 2.501 − 0.002361 · t MJ/kg. How well a tank holds its heat (U) is measured on tanks, not known: some 3 to 10 W a m² and °C of glass. From memory.
 * Units: W; area in m²; heatTransfer in W/(m²·K); °C; evaporated in litres a day; warm-up: litres, °C, hours. Domain: 0 to 40 °C in the tank, −30 to 50 °C in the room, salinity 0 to 40; the rest from 0, hours above 0.
 * Errors: RangeError outside it. Electric heat is only sized here; what may be plugged in where is for a qualified electrician and the local code.
 * Source: heat balance; latent heat: Allen et al. 1998, FAO irrigation and drainage paper 56, annex 3 (from memory); specific heat and density: Unesco technical papers in marine science 44.
 * @example heaterPower({ area: 2.2, heatTransfer: 4, tankTemperature: 25, roomTemperature: 20, evaporated: 5, otherHeat: 60 }).heaters // 124.9
 */
export function heaterPower({
  area,
  heatTransfer,
  tankTemperature,
  roomTemperature,
  evaporated = 0,
  otherHeat = 0,
  salinity = 0,
  warmUp,
}: {
  area: number
  heatTransfer: number
  tankTemperature: number
  roomTemperature: number
  evaporated?: number
  otherHeat?: number
  salinity?: number
  /** From how many degrees below the tank's temperature, how much water, in what time. */
  warmUp?: { volume: number; degrees: number; hours: number }
}): HeaterPower {
  checkAmount(area, 'area', 'm²')
  checkAmount(heatTransfer, 'heatTransfer', 'W/(m²·K)')
  checkWithin(tankTemperature, 'tankTemperature', [0, 40], '°C')
  checkWithin(roomTemperature, 'roomTemperature', [-30, 50], '°C')
  checkAmount(evaporated, 'evaporated', 'L a day')
  checkAmount(otherHeat, 'otherHeat', 'W')
  checkWithin(salinity, 'salinity', [0, 40])
  const throughWalls = heatTransfer * area * (tankTemperature - roomTemperature)
  const freshKgPerLitre = seawaterDensity({ salinity: 0, temperature: tankTemperature }) / 1000
  const latentHeat = (2.501 - 0.002361 * tankTemperature) * 1e6
  const byEvaporation = (evaporated * freshKgPerLitre * latentHeat) / SECONDS_PER_DAY
  const holding = throughWalls + byEvaporation - otherHeat
  const warming = warmUp ? warmingPower(warmUp, salinity, tankTemperature) : 0
  return { throughWalls, byEvaporation, holding, warming, heaters: Math.max(0, holding + warming) }
}

function warmingPower(
  { volume, degrees, hours }: { volume: number; degrees: number; hours: number },
  salinity: number,
  temperature: number,
): number {
  checkAmount(volume, 'volume', 'L', { aboveZero: true })
  checkWithin(degrees, 'degrees', [0, 40], '°C')
  checkAmount(hours, 'hours', '', { aboveZero: true })
  const kilograms = (volume * seawaterDensity({ salinity, temperature })) / 1000
  return (kilograms * specificHeat(salinity, temperature) * degrees) / (hours * SECONDS_PER_HOUR)
}
