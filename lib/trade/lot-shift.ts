/** A shift shared by the tanks on one lot (salt, reagent, food, lamps, tubes), with the rest of the route as its control group. */
import { benjaminiHochberg, rankSumTest } from '@/lib/science'
import type { LotKind } from './lot-kinds'
import { QUANTITIES, type Quantity } from './water-units'

/** `untilDay`: the first day of the next lot of the same kind in that tank; left out: still in use. Days since 1970-01-01. */
export type LotTank = { tank: string; firstUsedDay: number; untilDay?: number }
export type LotUse = { lot: string; kind: LotKind; tanks: readonly LotTank[] }
/** Readings of one tank in the stored unit. */
export type ReadingSeries = { tank: string; quantity: Quantity; values: readonly { day: number; value: number }[] }

export type LotShift = {
  lot: string
  kind: LotKind
  quantity: Quantity
  direction: 'fell' | 'rose'
  /** Tanks on the lot that moved that way against the median of the others by at least `step` (half of what parts the two medians), of how many compared. */
  moved: number
  tanks: number
  othersMoved: number
  others: number
  /** Median change of the tanks on the lot, and of the others over the same weeks; stored unit. */
  medianChange: number
  othersMedianChange: number
  step: number
  pValue: number
  adjustedP: number
  /** Named: holds the false-discovery rate, and most tanks moved that way. */
  found: boolean
  changes: { tank: string; change: number; onLot: boolean }[]
  /** Lots that moved the same quantity and cannot be told apart from this one, because they share its tanks. */
  notToldApartFrom: string[]
  words: string
}

export type LotShiftOptions = { windowDays: number }
export const LOT_WINDOW_DAYS = 56
const FALSE_DISCOVERY_RATE = 0.05
const TANKS_NEEDED = 4
const READINGS_NEEDED = 2
const MOST = 2 / 3

/**
 * Looks for shifts over all lots and quantities. Per tank: median after the first use less median before, each within `windowDays` (readings of
 * the day itself were taken before the lot went in), two readings at least on both sides. Tanks that never had the lot are compared over the
 * same weeks, around the middle one of the lot's first days. Wilcoxon's rank-sum test, two-sided; Benjamini–Hochberg at 0.05 over everything
 * tested. Of several lots that move the same quantity the surest is named, and the others only where they still stand out without its tanks.
 * Sorted: found first; lots whose own tanks changed before those that stayed behind, then by p-value. Lots or quantities with fewer than four tanks on either side are left out.
 */
export function findLotShifts(
  lots: readonly LotUse[],
  series: readonly ReadingSeries[],
  { windowDays }: LotShiftOptions = { windowDays: LOT_WINDOW_DAYS },
): LotShift[] {
  const quantities = [...new Set(series.map((one) => one.quantity))]
  const tested = lots
    .flatMap((lot) => quantities.flatMap((quantity) => testLot(lot, quantity, series, windowDays) ?? []))
    .sort(
      (one, other) =>
        one.pValue - other.pValue ||
        (one.lot < other.lot ? -1 : one.lot > other.lot ? 1 : one.quantity < other.quantity ? -1 : 1),
    )
  const { rejected, adjusted } = benjaminiHochberg(
    tested.map((shift) => shift.pValue),
    FALSE_DISCOVERY_RATE,
  )
  const judged = tested
    .map((shift, place) => ({ shift, adjustedP: adjusted[place] ?? 1, rejected: rejected[place] ?? false }))
    .sort((one, other) => Number(hasMovedItself(other.shift)) - Number(hasMovedItself(one.shift)))
  const named: LotShift[] = []
  const shifts = judged.map(({ shift, adjustedP, rejected }): LotShift => {
    const standsOut = rejected && mostMoved(shift)
    const earlier = standsOut ? named.filter((one) => one.quantity === shift.quantity) : []
    const explained = earlier.length > 0 && !standsAlone(shift, earlier, { lots, series, windowDays })
    if (explained) for (const one of earlier) one.notToldApartFrom.push(shift.lot)
    const found = standsOut && !explained
    const result = { ...shift, adjustedP, found, notToldApartFrom: [], words: shiftWords(shift) }
    if (found) named.push(result)
    return result
  })
  return [...shifts.filter((one) => one.found), ...shifts.filter((one) => !one.found)]
}

/**
 * Where one lot takes the place of another in all tanks, each side has moved against the other by as much; named first is the one whose own tanks changed. One that stayed behind
 * while the others changed with the season is named where no other lot explains it.
 */
const hasMovedItself = ({ medianChange, othersMedianChange }: Tested) =>
  Math.abs(medianChange) >= Math.abs(othersMedianChange)

const mostMoved = ({ moved, tanks }: Tested) => moved >= MOST * tanks

/** Whether a shift is still there when the tanks of the lots named before it are left out on both sides. */
function standsAlone(
  shift: Tested,
  earlier: readonly LotShift[],
  { lots, series, windowDays }: { lots: readonly LotUse[]; series: readonly ReadingSeries[]; windowDays: number },
): boolean {
  const lot = lots.find((one) => one.lot === shift.lot)
  const taken = new Set(
    earlier.flatMap((named) => lots.find((one) => one.lot === named.lot)?.tanks.map((tank) => tank.tank) ?? []),
  )
  if (!lot) return false
  const alone = testLot(
    { ...lot, tanks: lot.tanks.filter((tank) => !taken.has(tank.tank)) },
    shift.quantity,
    series.filter((one) => !taken.has(one.tank)),
    windowDays,
  )
  return (
    alone !== null && alone.pValue <= FALSE_DISCOVERY_RATE && alone.direction === shift.direction && mostMoved(alone)
  )
}

type Tested = Omit<LotShift, 'adjustedP' | 'found' | 'notToldApartFrom' | 'words'>

function testLot(lot: LotUse, quantity: Quantity, series: readonly ReadingSeries[], windowDays: number): Tested | null {
  const onLot = new Map(lot.tanks.map((tank) => [tank.tank, tank]))
  if (lot.tanks.length === 0) return null
  const middleDay = median(lot.tanks.map((tank) => tank.firstUsedDay))
  const changes = series
    .filter((one) => one.quantity === quantity)
    .flatMap(({ tank, values }) => {
      const use = onLot.get(tank)
      const from = use?.firstUsedDay ?? middleDay
      const until = Math.min(from + windowDays, use?.untilDay ?? Number.POSITIVE_INFINITY)
      const before = values.filter(({ day }) => day <= from && day > from - windowDays)
      const after = values.filter(({ day }) => day > from && day <= until)
      if (before.length < READINGS_NEEDED || after.length < READINGS_NEEDED) return []
      const change = median(after.map(({ value }) => value)) - median(before.map(({ value }) => value))
      return [{ tank, change, onLot: use !== undefined }]
    })
    .sort((one, other) => (one.tank < other.tank ? -1 : 1))
  const own = changes.filter((one) => one.onLot).map((one) => one.change)
  const rest = changes.filter((one) => !one.onLot).map((one) => one.change)
  if (own.length < TANKS_NEEDED || rest.length < TANKS_NEEDED) return null
  const medianChange = median(own)
  const othersMedianChange = median(rest)
  const apart = medianChange - othersMedianChange
  // Half of the shift: "moved" then means a change that can be seen in the tank, not a flicker of the test.
  const step = Math.abs(apart) / 2
  const sign = apart < 0 ? -1 : 1
  // Against what the others did meanwhile: with the season a whole route may rise, and a lot that stays behind has fallen.
  const movedIn = (values: number[]) =>
    apart === 0 ? 0 : values.filter((change) => (change - othersMedianChange) * sign >= step).length
  return {
    lot: lot.lot,
    kind: lot.kind,
    quantity,
    direction: sign < 0 ? 'fell' : 'rose',
    moved: movedIn(own),
    tanks: own.length,
    othersMoved: movedIn(rest),
    others: rest.length,
    medianChange,
    othersMedianChange,
    step,
    pValue: rankSumTest(own, rest).pValue,
    changes,
  }
}

function median(values: readonly number[]): number {
  const sorted = [...values].sort((one, other) => one - other)
  const [low = Number.NaN, high = Number.NaN] = [
    sorted[Math.floor((sorted.length - 1) / 2)],
    sorted[Math.floor(sorted.length / 2)],
  ]
  return (low + high) / 2
}

/** What to do before a delivery is blamed. Common practice, no source. */
const FIRST_OF_ALL: Partial<Record<LotKind, string>> = {
  reagent: 'A reagent moves the reading, perhaps not the water: test a standard first.',
  salt: 'Test again with a fresh kit or a reference solution, then test a new mix; it could equally be the other batch.',
}

/** "Against the other tanks 9 of 11 on this lot fell in alkalinity by 0.2 meq/L or more (median change −0.4 meq/L, of the others +0.1 meq/L; 3 of 20 others did so)." */
function shiftWords(shift: Tested): string {
  const { moved, tanks, direction, quantity, step, medianChange, othersMedianChange, othersMoved, others, kind } = shift
  const name = quantityInWords(quantity)
  const { unit } = QUANTITIES[quantity]
  const withUnit = (value: number) => `${figure(value)}${unit ? ` ${unit}` : ''}`
  // As many decimals as the step has: what is finer than that is nothing here.
  const decimals = step > 0 ? Math.min(6, Math.max(0, 1 - Math.floor(Math.log10(step)))) : 2
  const signed = (value: number) => {
    const size = Math.abs(Number(value.toFixed(decimals)))
    return `${size === 0 ? '' : value < 0 ? '−' : '+'}${size}${unit ? ` ${unit}` : ''}`
  }
  const medians = `median change ${signed(medianChange)}, of the others ${signed(othersMedianChange)}`
  const sentence = `Against the other tanks ${moved} of ${tanks} on this lot ${direction} in ${name} by ${withUnit(step)} or more (${medians}; ${othersMoved} of ${others} others did so)`
  const advice = FIRST_OF_ALL[kind]
  return advice === undefined ? `${sentence}.` : `${sentence}. ${advice}`
}

/** "Alkalinity (carbonate hardness)" → "alkalinity"; pH stays. */
function quantityInWords(quantity: Quantity): string {
  const name = QUANTITIES[quantity].name.replace(/ \(.*\)$/, '').replace(/ as \w+$/, '')
  return name === 'pH' ? name : name.toLowerCase()
}

/** Two leading digits, no more: 0.43, 12, 0.034. */
function figure(value: number): string {
  return String(Number(value.toPrecision(2)))
}
