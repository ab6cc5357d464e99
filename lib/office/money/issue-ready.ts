import 'server-only'
import type { Actor } from '../frame/actor'
import { done } from '../frame/result'
import { rowId } from '../frame/row-ids'
import { issueInvoice } from './issue-commands'
import type { IssueReady } from './schema'

/** What became of each draft, in the order given; `isMeanwhile`: another act had issued it already. */
export type Issued = { invoiceId: string; number: string | null; words: string; isMeanwhile?: boolean }

/**
 * Issues several drafts in one act, one after the other, each by the command that issues one, under an id that follows from this act's
 * and the draft's. Whoever is cut off and sends the same act again gets the numbers given already, and goes on with the rest: no
 * number is missing, and none is given twice. A draft that is refused leaves the others as they are.
 */
export async function issueReady(actor: Actor, input: IssueReady) {
  const issued: Issued[] = []
  for (const { invoiceId, expectedGrossMinor } of input.drafts) {
    const { businessId, issuedOn, earlierDayAccepted = false } = input
    const id = rowId(input.id, invoiceId)
    const result = await issueInvoice(actor, {
      id,
      businessId,
      invoiceId,
      issuedOn,
      expectedGrossMinor,
      earlierDayAccepted,
    })
    if (result.ok) issued.push({ invoiceId, number: result.value.number, words: '' })
    else issued.push({ invoiceId, number: null, words: wordsOf(result), isMeanwhile: result.reason === 'not-a-draft' })
  }
  return done({ issued })
}

function wordsOf(refusal: { words?: string | undefined; fields?: Partial<Record<string, string[]>> }): string {
  return (
    refusal.words ??
    Object.values(refusal.fields ?? {})
      .flatMap((words) => words ?? [])
      .join(' ')
  )
}
