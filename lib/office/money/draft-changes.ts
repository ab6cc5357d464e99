/** What the records say otherwise, by now, than a draft that was made of them. Pure. */
import { monthInWords } from './dates-in-words'
import type { OpenWork, ToBill } from './draft-pieces'
import { visitInWords } from './work-charge'

export type DraftChange = {
  /** "Call-out 18 Nov", "Agreement at Hall, November 2026". */
  what: string
  /** What is due by the records, and what the lines bill, this draft's and others. */
  dueMinor: number
  billedMinor: number
}

/** What a charge is called, for people who run the business. */
export function chargeInWords(item: ToBill): string {
  switch (item.of) {
    case 'month':
      return `Agreement at ${item.billables[0]?.placeName ?? 'a tank'}, ${monthInWords(item.month.period)}`
    case 'visit':
      return visitInWords(item.visit)
    case 'part':
      return item.part.name
    case 'hand':
      return item.line.description
  }
}

/** Charges of a draft whose source says another amount, or another payer, than the draft. */
export function changedItems({ items }: OpenWork, invoiceId: string): ToBill[] {
  return items.filter(
    ({ standing }) =>
      standing.draftId === invoiceId &&
      standing.payers.some(({ openMinor, overMinor }) => openMinor > 0 || overMinor > 0),
  )
}

export function draftChanges(work: OpenWork, invoiceId: string): DraftChange[] {
  return changedItems(work, invoiceId).map((item) => ({
    what: chargeInWords(item),
    dueMinor: item.standing.payers.reduce((sum, { dueMinor }) => sum + dueMinor, 0),
    billedMinor: item.standing.payers.reduce((sum, { settledMinor }) => sum + settledMinor, 0),
  }))
}
