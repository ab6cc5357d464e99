/** What wears along a measured path: which figure of a device shows it, and where that figure says "renew". */
import type { RelativeThreshold } from '@/lib/science'

/** Figures measured on a device, as they are kept. */
export const WEAR_QUANTITIES = {
  'dose-rate': {
    name: 'Dose per minute',
    unit: 'mL/min',
    hint: 'Into a cylinder for a whole minute, always at the same setting.',
    most: 5000,
  },
  rejection: {
    name: 'Membrane rejection',
    unit: '%',
    hint: 'Both meters after it has run for five minutes.',
    most: 100,
  },
  'lamp-hours': { name: 'Lamp hours', unit: 'h', hint: 'From the counter, since this lamp was fitted.', most: 100_000 },
  'flow-rate': {
    name: 'Flow',
    unit: 'L/h',
    hint: 'Into a bucket against the clock, or from the meter, always at the same place.',
    most: 200_000,
  },
  'probe-slope': {
    name: 'Probe slope',
    unit: '%',
    hint: 'Of the ideal, as the meter shows it after two buffers.',
    most: 120,
  },
} as const
export type WearQuantity = keyof typeof WEAR_QUANTITIES

/** Units in which what goes into a membrane and what comes out are measured; the ratio has none. */
export const MEMBRANE_UNITS = ['mg/L', 'µS/cm'] as const

export type WearRule = {
  /** `class/mode`, as in the catalogue. */
  mode: string
  quantity: WearQuantity
  sense: 'falls' | 'rises'
  /** The figure counts from nothing at the renewal (hours); else the first reading after it is the baseline. */
  startsAtZero: boolean
  /** The figures at which it is renewed, whichever is met first, from the device's own beginning: `share` of it and `plus`. */
  thresholds: readonly RelativeThreshold[]
  /** The threshold in words, after "it reaches … ". */
  says: string
  source: string
}

const CP = 'common practice, no source'

export const WEAR_RULES: readonly WearRule[] = [
  {
    mode: 'dosing-pump/tube-tired',
    quantity: 'dose-rate',
    sense: 'falls',
    startsAtZero: false,
    thresholds: [{ share: 0.9, plus: 0 }],
    says: '10 % below its own first reading',
    source: CP,
  },
  {
    mode: 'reverse-osmosis/membrane-tired',
    quantity: 'rejection',
    sense: 'falls',
    startsAtZero: false,
    thresholds: [
      { share: 0, plus: 90 },
      { share: 1, plus: -5 },
    ],
    says: '90 %, or 5 points below its own first reading',
    source: CP,
  },
  {
    mode: 'uv-steriliser/lamp-past-hours',
    quantity: 'lamp-hours',
    sense: 'rises',
    startsAtZero: true,
    thresholds: [{ share: 0, plus: 8000 }],
    says: 'lamps are rated for 8,000 to 9,000 h; the lower figure counts',
    source: CP,
  },
  {
    mode: 'return-pump/impeller-scale',
    quantity: 'flow-rate',
    sense: 'falls',
    startsAtZero: false,
    thresholds: [{ share: 2 / 3, plus: 0 }],
    says: 'a third below its own first reading',
    source: CP,
  },
  {
    mode: 'instruments/ph-probe-old',
    quantity: 'probe-slope',
    sense: 'falls',
    startsAtZero: false,
    thresholds: [{ share: 0, plus: 85 }],
    says: 'below 85 % a probe is too slow and too flat to trust',
    source: CP,
  },
]

/** The rules of one class of equipment; none for a class whose wear nobody measures. */
export function wearRulesOf(equipmentClass: string): WearRule[] {
  return WEAR_RULES.filter(({ mode }) => mode.startsWith(`${equipmentClass}/`))
}

/** The rule of a mode, or null. */
export function wearRuleOf(mode: string): WearRule | null {
  return WEAR_RULES.find((rule) => rule.mode === mode) ?? null
}

/** Of a rule's thresholds the one that a device with this beginning meets first, and its figure. */
export function thresholdOf({ thresholds, sense }: WearRule, baseline: number): RelativeThreshold & { value: number } {
  const figures = thresholds.map((one) => ({ ...one, value: one.share * baseline + one.plus }))
  const isFirst = (one: number, other: number) => (sense === 'falls' ? one > other : one < other)
  const [first, ...more] = figures
  if (!first) throw new RangeError('a rule of wear needs at least one threshold')
  return more.reduce((best, one) => (isFirst(one.value, best.value) ? one : best), first)
}

/**
 * Share of what goes in that a membrane keeps back, in percent: 100 (1 − out / in). Units: both in the same one.
 * @throws RangeError where nothing goes in, or more comes out than goes in.
 * @example rejectionOf({ into: 250, out: 10 }) // 96
 */
export function rejectionOf({ into, out }: { into: number; out: number }): number {
  if (!(into > 0 && into < Number.POSITIVE_INFINITY)) throw new RangeError(`what goes in must be above 0, got ${into}`)
  if (!(out >= 0 && out <= into)) throw new RangeError(`what comes out must lie from 0 to what goes in, got ${out}`)
  return 100 * (1 - out / into)
}
