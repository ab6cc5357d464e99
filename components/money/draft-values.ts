import type { EditDraft } from '@/lib/office/money/schema'

/** One line of a draft as its form holds it. */
export type DraftLineValues = EditDraft['lines'][number]

/** An entry of the price list as a new line takes it over. */
export type PriceChoice = Omit<DraftLineValues, 'quantity' | 'description' | 'serviceStart' | 'serviceEnd'> & {
  name: string
}
