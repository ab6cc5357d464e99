import { type Caution, type CautionSlug, findCaution } from './cautions'

/** What a container at a tank can hold, and how it is filled. Slugs are immutable: records refer to them. */
export const REFILL_KINDS = {
  'top-up-water': { name: 'Top-up water', units: ['L', 'US gal', 'imp gal'], how: '' },
  'salt-water': { name: 'Salt water', units: ['L', 'US gal', 'imp gal'], how: '' },
  salt: { name: 'Salt', units: ['kg', 'lb'], how: '' },
  dose: {
    name: 'Dosing container',
    units: ['mL', 'L'],
    how: 'Colour and text of container, line and pump head agree before it is filled.',
  },
  'lime-water': { name: 'Lime water', units: ['L', 'g', 'kg'], how: '' },
  'calcium-dose': {
    name: 'Calcium solution',
    units: ['mL', 'L'],
    how: 'Colour and text of container, line and pump head agree before it is filled.',
  },
  'acid-dose': {
    name: 'Acid or vinegar dose',
    units: ['mL', 'L'],
    how: 'Colour and text of container, line and pump head agree before it is filled.',
  },
  food: { name: 'Food', units: ['g', 'kg', 'portions'], how: '' },
  gas: {
    name: 'Gas cylinder',
    units: ['kg', 'g', 'lb'],
    how: 'By weight, cylinder and all. The gauge stays where it is until the liquid is gone: once it falls, change the cylinder now.',
  },
  fleece: { name: 'Fleece roll', units: ['m', 'cm'], how: 'What is left on the roll.' },
  sock: { name: 'Clean filter socks', units: ['socks'], how: 'Clean ones that are left.' },
  other: { name: 'Something else', units: ['L', 'mL', 'kg', 'g', 'm', 'pieces'], how: '' },
} as const satisfies Record<string, { name: string; units: readonly string[]; how: string }>
export type RefillKind = keyof typeof REFILL_KINDS
export const REFILL_KIND_SLUGS = Object.keys(REFILL_KINDS) as RefillKind[] // keys of the record above

/** The kind of a slug; "something else" for one that is not known. */
export function refillKindOf(slug: string): RefillKind {
  return REFILL_KIND_SLUGS.find((kind) => kind === slug) ?? 'other'
}

/** What the people on site may fill: nothing that is dosed, no lime water, no acid, no gas. Common practice, no source. */
const STAFF_MAY_FILL: readonly RefillKind[] = ['top-up-water', 'food', 'fleece', 'sock']

/** Whether the people on site may be asked to fill a container of this kind; top-up water only from a marked can of RO water. */
export function staffMayFill(kind: RefillKind): boolean {
  return STAFF_MAY_FILL.includes(kind)
}

/** Litres of water that one person should not lift alone: 20 kg. Employers' and local limits go first. Common practice, no source. */
const HEAVY_L = 20

const OWN_CAUTIONS: Partial<Record<RefillKind, readonly CautionSlug[]>> = {
  gas: ['gas', 'gas-cylinder'],
  'lime-water': ['lime-dust'],
  'calcium-dose': ['calcium-chloride-heat'],
  'acid-dose': ['acid'],
}

/** Cautions for filling one container, and no others. `fillsUp`: how much may go in, in its unit. */
export function refillCautions(kind: RefillKind, unit: string, fillsUp: number): Caution[] {
  const litres = { L: 1, 'US gal': 3.785, 'imp gal': 4.546, kg: 1, lb: 0.454 }[unit] ?? 0
  const heavy = kind !== 'gas' && fillsUp * litres > HEAVY_L ? (['lifting'] as const) : []
  return [...(OWN_CAUTIONS[kind] ?? []), ...heavy].map(findCaution)
}
