/**
 * Starting targets per kind of water; a business or a tank overrides them. Reef, fish-only, freshwater community and planted are
 * common practice without a source; the other four profiles are from memory. Values in the stored unit of each quantity.
 */
import { TANK_KINDS, type TankKind } from './catalogue/types'
import { fromStored, QUANTITIES, type Quantity } from './water-units'

export type Target = {
  /** Below is low, above is high; left out where that side has no limit. */
  low?: number
  high?: number
  /** Beyond these something must happen today. */
  alarmLow?: number
  alarmHigh?: number
  /** What the low or the high side means, in words for a technician. */
  lowMeans?: string
  highMeans?: string
}
export type WaterProfile = { kind: TankKind; name: string; targets: Partial<Record<Quantity, Target>> }

const AMMONIA: Partial<Record<Quantity, Target>> = {
  totalAmmonia: { high: 0.05, highMeans: 'should not be detectable; work out the un-ionised part' },
  // An alarm, not a target: no amount of it is aimed at.
  unionisedAmmonia: { high: 0.005, alarmHigh: 0.02, highMeans: 'poisons fish: matched water change, air, no food' },
}
const FRESH_BASICS: Partial<Record<Quantity, Target>> = {
  ...AMMONIA,
  nitrite: { high: 0.05, alarmHigh: 0.5, highMeans: 'should not be detectable' },
  nitrate: { high: 40 },
  totalChlorine: { high: 0.01, alarmHigh: 0.05, highMeans: 'must be zero; chloramine leaves ammonia behind' },
  alkalinity: { low: 0.5, alarmLow: 0.25, lowMeans: 'pH can crash' },
}
const MARINE_PH: Target = { low: 7.9, high: 8.4, alarmLow: 7.6, alarmHigh: 8.7 }

const PROFILES: Record<TankKind, Omit<WaterProfile, 'kind'>> = {
  reef: {
    name: 'Reef',
    targets: {
      ...AMMONIA,
      temperature: { low: 24, high: 26.5, alarmLow: 22, alarmHigh: 29 },
      salinity: { low: 34, high: 36, alarmLow: 31, alarmHigh: 38 },
      alkalinity: { low: 2.5, high: 3.6, alarmLow: 2, alarmHigh: 4.5 },
      calcium: { low: 400, high: 450 },
      magnesium: { low: 1250, high: 1400 },
      nitrate: { low: 1, high: 15, lowMeans: 'near zero is a fault too: corals starve' },
      phosphate: { low: 0.02, high: 0.1, lowMeans: 'near zero is a fault too: corals starve' },
      pH: MARINE_PH,
    },
  },
  'fish-only-marine': {
    name: 'Fish-only marine',
    targets: {
      ...AMMONIA,
      temperature: { low: 24, high: 26.5, alarmLow: 21, alarmHigh: 30 },
      salinity: { low: 30, high: 35, alarmLow: 27, alarmHigh: 38 },
      alkalinity: { low: 2, high: 4, alarmLow: 1.2 },
      nitrate: { high: 40 },
      pH: MARINE_PH,
    },
  },
  'freshwater-community': {
    name: 'Freshwater community',
    targets: {
      ...FRESH_BASICS,
      temperature: { low: 23, high: 27, alarmLow: 19, alarmHigh: 31 },
      pH: { low: 6.5, high: 7.8, alarmLow: 5.8, alarmHigh: 8.8 },
    },
  },
  planted: {
    name: 'Planted',
    targets: {
      ...FRESH_BASICS,
      temperature: { low: 22, high: 26, alarmLow: 18, alarmHigh: 31 },
      pH: { low: 6.2, high: 7.5, alarmLow: 5.5, alarmHigh: 8.8 },
      alkalinity: { low: 1, high: 3, alarmLow: 0.25, lowMeans: 'pH can crash' },
      carbonDioxide: { low: 15, high: 30, alarmHigh: 45, highMeans: 'fish breathe fast: gas off, surface moving' },
    },
  },
  'cold-water': {
    name: 'Cold water',
    targets: {
      ...FRESH_BASICS,
      temperature: { low: 14, high: 22, alarmLow: 4, alarmHigh: 27 },
      pH: { low: 6.8, high: 8.2, alarmLow: 6, alarmHigh: 9 },
      alkalinity: { low: 1, alarmLow: 0.25, lowMeans: 'pH can crash' },
    },
  },
  'rift-lake': {
    name: 'Rift lake',
    targets: {
      ...FRESH_BASICS,
      temperature: { low: 24, high: 27, alarmLow: 21, alarmHigh: 30 },
      pH: { low: 7.8, high: 8.8, alarmLow: 7.2, alarmHigh: 9.3 },
      alkalinity: { low: 3, high: 7, alarmLow: 1.5, lowMeans: 'pH falls out of the range these fish need' },
      totalHardness: { low: 1.5, high: 4 },
    },
  },
  'warm-soft-water': {
    name: 'Warm soft water',
    targets: {
      ...FRESH_BASICS,
      temperature: { low: 26, high: 30, alarmLow: 23, alarmHigh: 33 },
      pH: { low: 5.5, high: 7, alarmLow: 4.5, alarmHigh: 7.8 },
      // Soft on purpose: the crash risk of little carbonate stays true, so it is watched, not dosed away.
      alkalinity: { low: 0.3, high: 1.5, alarmLow: 0.1, lowMeans: 'little buffer: watch the pH' },
      totalHardness: { low: 0.2, high: 1 },
      nitrate: { high: 25 },
    },
  },
  brackish: {
    name: 'Brackish',
    targets: {
      ...AMMONIA,
      temperature: { low: 24, high: 28, alarmLow: 20, alarmHigh: 31 },
      salinity: { low: 5, high: 15, alarmLow: 2, alarmHigh: 22 },
      alkalinity: { low: 2, high: 5, alarmLow: 1 },
      nitrite: { high: 0.1, alarmHigh: 1, highMeans: 'should not be detectable' },
      nitrate: { high: 40 },
      pH: { low: 7.5, high: 8.4, alarmLow: 7, alarmHigh: 9 },
    },
  },
}

export const waterProfiles: readonly WaterProfile[] = TANK_KINDS.map((kind) => ({ kind, ...PROFILES[kind] }))
/** The starting profile of a kind of tank. */
export function profileOf(kind: TankKind): WaterProfile {
  return { kind, ...PROFILES[kind] }
}

/** `clientWords` promise nothing: that a correction is under way is known to whoever makes it, not from one figure. */
export type Judgement = { state: 'low' | 'ok' | 'high' | 'alarm' | 'unknown'; words: string; clientWords: string }

/** What whoever measured an alarm reads beside it. */
export const IN_ALARM = 'Act today and tell the owner.'

/**
 * Judges one reading against a profile. `value` is in the stored unit; `unit` is the one the person reads. A limit itself is ok;
 * an alarm limit itself is an alarm.
 * @throws RangeError when the value is not a number or the unit is not one of the quantity's.
 */
export function judgeReading(
  profile: WaterProfile,
  quantity: Quantity,
  value: number,
  unit: string = QUANTITIES[quantity].unit,
): Judgement {
  const name = QUANTITIES[quantity].name
  const show = (stored: number, withUnit = true) =>
    `${rounded(fromStored(quantity, stored, unit), unit)}${withUnit && unit ? ` ${unit}` : ''}`
  const reading = show(value)
  const target = profile.targets[quantity]
  if (!target)
    return {
      state: 'unknown',
      words: `${name} ${reading}; no target for this water.`,
      clientWords: `${name} was measured.`,
    }
  const range = rangeInWords(target, show)
  const isAlarmLow = target.alarmLow !== undefined && value <= target.alarmLow
  const isAlarmHigh = target.alarmHigh !== undefined && value >= target.alarmHigh
  const isLow = isAlarmLow || (target.low !== undefined && value < target.low)
  const isHigh = isAlarmHigh || (target.high !== undefined && value > target.high)
  if (!isLow && !isHigh)
    return {
      state: 'ok',
      words: `${name} ${reading} is in range (${range}).`,
      clientWords: `${name} is as it should be.`,
    }
  const side = isLow ? 'low' : 'high'
  const meaning = isLow ? target.lowMeans : target.highMeans
  const tail = meaning ? `: ${meaning}` : ''
  if (isAlarmLow || isAlarmHigh)
    return {
      state: 'alarm',
      words: `${name} ${reading} is dangerously ${side} (${range})${tail}.`,
      clientWords: `${name} was far from where it should be; your technician will tell you what is being done.`,
    }
  return {
    state: side,
    words: `${name} ${reading} is ${side} (${range})${tail}.`,
    clientWords: `${name} was a little ${side}; we have seen it and will tell you what we do about it.`,
  }
}

function rangeInWords(target: Target, show: (stored: number, withUnit?: boolean) => string): string {
  if (target.low !== undefined && target.high !== undefined) return `${show(target.low, false)} to ${show(target.high)}`
  if (target.low !== undefined) return `at least ${show(target.low)}`
  return target.high === undefined ? 'no fixed range' : `at most ${show(target.high)}`
}

/** Specific gravities differ in the third decimal. */
const rounded = (value: number, unit: string) =>
  unit === 'SG' ? value.toFixed(3) : Number(value.toPrecision(Math.abs(value) >= 100 ? 4 : 3)).toString()

/** The fastest change that animals bear, per day, in stored units. Common practice, no source. */
export type ChangeLimit = { upPerDay: number; downPerDay: number; perHour?: number }

/** Salinity up is the dangerous side for every animal; fish alone bear a faster fall than a reef does. */
export function changeLimit(kind: TankKind, quantity: Quantity): ChangeLimit | null {
  switch (quantity) {
    case 'alkalinity':
      return { upPerDay: 0.35, downPerDay: 0.35 }
    case 'calcium':
      return { upPerDay: 20, downPerDay: 20 }
    case 'magnesium':
      return { upPerDay: 50, downPerDay: 50 }
    case 'salinity':
      return { upPerDay: 1, downPerDay: kind === 'reef' ? 1 : 2 }
    case 'temperature':
      return { upPerDay: 2, downPerDay: 2, perHour: 1 }
    default:
      return null
  }
}
