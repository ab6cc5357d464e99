import { checkAmount, checkWithin } from './check-domain'
import { type Compound, type Ion, type Raised, supplyOf } from './compounds'

/** A stock: so many grams of the compound, as weighed, in a litre of finished solution. */
type Preparation = { compound: Compound; purity?: number; stockGramsPerLitre?: number }

export type Dose = {
  grams: number
  /** Of the stock; null where none was given. */
  millilitres: number | null
  raises: Raised
  unit: 'mg/L' | 'meq/L'
  /** What else rises with it, mg/L. */
  alongside: { ion: Ion; rise: number }[]
}

/** Shares of a step that rounding may add without asking for another day. */
const ROUNDING = 1e-9

function checkPreparation({ purity = 1, stockGramsPerLitre }: Preparation): void {
  checkWithin(purity, 'purity', [0.001, 1])
  if (stockGramsPerLitre !== undefined)
    checkAmount(stockGramsPerLitre, 'stockGramsPerLitre', 'g/L', { aboveZero: true })
}

/**
 * How much of a plain compound raises what it is given for: grams = rise · volume / (mg or meq brought by a millimole) · molar mass with its crystal water / 1000 / purity.
 * Units: rise in mg/L (nitrate as NO3, phosphate as PO4) or, for alkalinity, meq/L; volume in litres of water that is there, without rock and sand; grams; mL of stock. Purity 1 unless given.
 * Assumes that all of it dissolves and stays: nothing precipitates, nothing is used meanwhile. How fast a rise may be is not asked here: `doseOverDays`.
 * Domain: rise from 0, volume above 0, purity 0.001 to 1. Errors: RangeError outside it. Source: stoichiometry with IUPAC atomic weights.
 * @example doseFor({ compound: 'calcium chloride dihydrate', rise: 20, volume: 100 }).grams // 7.336
 */
export function doseFor({ rise, volume, ...preparation }: Preparation & { rise: number; volume: number }): Dose {
  const { molarMass, raises, unit, perMillimole, alongside } = supplyOf(preparation.compound)
  checkAmount(rise, 'rise', unit)
  checkAmount(volume, 'volume', 'L', { aboveZero: true })
  checkPreparation(preparation)
  const { purity = 1, stockGramsPerLitre } = preparation
  const grams = ((rise * volume) / perMillimole) * (molarMass / 1000 / purity)
  return {
    grams,
    millilitres: stockGramsPerLitre === undefined ? null : (grams / stockGramsPerLitre) * 1000,
    raises,
    unit,
    alongside: alongside.map(({ ion, milligrams }) => ({ ion, rise: (milligrams * rise) / perMillimole })),
  }
}

/**
 * The rise that so many grams of a compound bring: the inverse of `doseFor`. Units, assumptions, errors and source: as there.
 * @example riseFor({ compound: 'sodium bicarbonate', grams: 84.006, volume: 1000 }) // 1 meq/L
 */
export function riseFor({
  grams,
  volume,
  ...preparation
}: Omit<Preparation, 'stockGramsPerLitre'> & { grams: number; volume: number }): number {
  const { molarMass, perMillimole } = supplyOf(preparation.compound)
  checkAmount(grams, 'grams')
  checkAmount(volume, 'volume', 'L', { aboveZero: true })
  checkPreparation(preparation)
  return (((grams * (preparation.purity ?? 1)) / molarMass) * 1000 * perMillimole) / volume
}

export type DosePlan = {
  days: number
  risePerDay: number
  /** The same on each day. */
  each: Dose
}

/**
 * A rise spread evenly over the fewest days on which none brings more than `mostPerDay`: days = rise / mostPerDay, rounded up. What is used up meanwhile comes on top, and is the caller's to add.
 * Units: as `doseFor`; mostPerDay in the unit of the rise. Domain: mostPerDay above 0; no rise is no day. Errors: RangeError outside it. Source: division; the limit is the caller's.
 * @example doseOverDays({ compound: 'sodium bicarbonate', rise: 1, mostPerDay: 0.35, volume: 100 }).days // 3
 */
export function doseOverDays({
  rise,
  mostPerDay,
  ...given
}: Preparation & { rise: number; volume: number; mostPerDay: number }): DosePlan {
  checkAmount(rise, 'rise')
  checkAmount(mostPerDay, 'mostPerDay', '', { aboveZero: true })
  const days = Math.ceil((rise / mostPerDay) * (1 - ROUNDING))
  if (!Number.isSafeInteger(days))
    throw new RangeError(`a rise of ${rise} at ${mostPerDay} a day takes longer than can be counted`)
  const risePerDay = days === 0 ? 0 : rise / days
  return { days, risePerDay, each: doseFor({ ...given, rise: risePerDay }) }
}
