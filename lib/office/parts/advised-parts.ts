/** Parts with what to keep and to order of each, from the book of today and what is foreseen. Pure. */
import { type Advice, adviceFor } from './advice'
import type { PartOutlook } from './outlook'
import type { BookPart, PartsBook } from './parts-book'

export type AdvisedPart = BookPart & PartOutlook & { onHand: number; onOrder: number; advice: Advice }

/** What is on hand and on its way today, and what to keep and to order of these parts for what is foreseen. */
export function adviseAll(book: PartsBook, outlooks: readonly PartOutlook[]): AdvisedPart[] {
  const outlookOf = new Map(outlooks.map((outlook) => [outlook.partId, outlook]))
  return book.parts.flatMap((part) => {
    const outlook = outlookOf.get(part.id)
    // Added since the answer was worked out.
    if (!outlook) return []
    const onHand = book.onHand(part.id)
    const onOrder = book.orders.filter((order) => order.partId === part.id).reduce((sum, { left }) => sum + left, 0)
    const advice = adviceFor(outlook.demand, { ...part, onHand, onOrder })
    return [{ ...part, ...outlook, onHand, onOrder, advice }]
  })
}
