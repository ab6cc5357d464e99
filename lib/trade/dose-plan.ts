import { type Compound, type Dose, doseFor, doseOverDays } from '@/lib/science/water'
import type { TankKind } from './catalogue/types'
import { type Caution, type CautionSlug, findCaution } from './cautions'
import { changeLimit } from './targets'
import { QUANTITIES, type Quantity } from './water-units'

/** What to read before a compound is weighed out. */
const CAUTIONS: Partial<Record<Compound, CautionSlug[]>> = {
  'calcium chloride anhydrous': ['calcium-chloride-heat'],
  'calcium chloride dihydrate': ['calcium-chloride-heat'],
  'calcium hydroxide': ['lime-dust'],
  'sodium carbonate anhydrous': ['soda-eyes'],
  'potassium nitrate': ['feeds-fire'],
}

export type TankDosePlan = {
  quantity: Quantity
  /** In the stored unit of the quantity, a day. */
  risePerDay: number
  days: number
  /** The same on each day. */
  each: Dose
  /** The fastest rise that animals bear, a day; null where none is known: then it is one dose, and somebody decides. */
  mostPerDay: number | null
  cautions: Caution[]
}

/**
 * Doses that bring a reading from where it is to where it should be, over so many days that none brings more than these animals bear (`changeLimit`: common practice, no source). Test again before each: what is used up
 * meanwhile is not counted.
 * Units: readings in the stored unit of what the compound raises; litres of water that is there, without rock and sand. Errors: RangeError where the reading is already as high, where no reading goes with the compound, or as `doseFor`.
 * @example dosePlan('reef', { compound: 'sodium bicarbonate', from: 2.2, to: 2.9, volumeL: 300 }).days // 2
 */
export function dosePlan(
  kind: TankKind,
  {
    compound,
    from,
    to,
    volumeL,
    ...preparation
  }: { compound: Compound; from: number; to: number; volumeL: number; purity?: number; stockGramsPerLitre?: number },
): TankDosePlan {
  const rise = to - from
  const dose = { compound, volume: volumeL, ...preparation }
  const { raises } = doseFor({ ...dose, rise: 0 })
  if (raises === 'potassium') throw new RangeError(`no reading is kept of what ${compound} raises, so no plan follows`)
  if (!(rise > 0))
    throw new RangeError(
      `${QUANTITIES[raises].name} is to go up, but ${to} is not above ${from}; a water change brings it down`,
    )
  const mostPerDay = changeLimit(kind, raises)?.upPerDay ?? null
  const plan = doseOverDays({ ...dose, rise, mostPerDay: mostPerDay ?? rise })
  return { quantity: raises, ...plan, mostPerDay, cautions: (CAUTIONS[compound] ?? []).map(findCaution) }
}
