import { type Certainty, certaintyOf } from '@/lib/trade'

/** A saving as a page shows it, minor units a year, and how sure it is that it saves at all. */
export type SavingView = { mean: number; lower: number; upper: number; certainty: Certainty }

/** Chance → words, everything else as it is. */
export function savingView({
  chance,
  ...saving
}: {
  mean: number
  lower: number
  upper: number
  chance: number
}): SavingView {
  return { ...saving, certainty: certaintyOf(chance) }
}
