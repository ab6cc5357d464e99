/** A container that is filled cannot hold less after it than before. Pure. */
import type { RefillKind } from '@/lib/trade/refill-kinds'

/**
 * What is swapped (a cylinder, a roll) or taken from at the visit (salt, salt water, socks) may be left with less than was found; of
 * something unknown nobody can say. Common practice, no source.
 */
const MAY_BE_LEFT_WITH_LESS: ReadonlySet<RefillKind> = new Set(['gas', 'fleece', 'sock', 'salt', 'salt-water', 'other'])

export type FilledContainer = { label: string; unit: string; kind: RefillKind; emptyAt: number }
type Levels = { before: number | null; after: number | null }

/**
 * What is wrong with a filling that leaves less than was found, in words that name both amounts, or null. `wasEmptied`: it was said
 * before that it was left empty, so what is in it now is a new filling.
 */
export function filledToLess(
  { label, unit, kind, emptyAt }: FilledContainer,
  { before, after }: Levels,
  wasEmptied: boolean,
): string | null {
  if (before === null || after === null || after >= before) return null
  if (MAY_BE_LEFT_WITH_LESS.has(kind) || isEmptied({ emptyAt }, after) || wasEmptied) return null
  return `${label}: you found ${before} ${unit} and leave ${after} ${unit}, which is less. Was nothing filled in, leave the second figure blank. Was it emptied and filled anew, write first that you leave it at 0, then the new level.`
}

/** Left with nothing that it could give: it was emptied. */
export function isEmptied({ emptyAt }: { emptyAt: number }, after: number | null): boolean {
  return after !== null && after <= emptyAt
}
