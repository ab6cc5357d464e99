import 'server-only'
import type { Actor } from '../frame/actor'
import { OTHER_BUSINESS, type Result } from '../frame/result'
import type { PlanReason } from './change-plan'
import type { BookDueInput } from './schema'
import { bookVisit } from './visit-commands'

/** How one ticked visit went; `words` says why not. */
export type DueOutcome = { commandId: string; tankId: string; visitId?: string; words?: string }

/**
 * Books the visits the owner ticked from what is due by agreement, one command each: those that fit are booked, those
 * that do not come back with words, and sending the same list again books nothing twice.
 */
export async function fillFromAgreements(
  actor: Actor,
  input: BookDueInput,
): Promise<Result<{ outcomes: DueOutcome[] }, PlanReason>> {
  if (input.businessId !== actor.businessId) return OTHER_BUSINESS
  const outcomes: DueOutcome[] = []
  for (const visit of input.visits) {
    const result = await bookVisit(actor, visit)
    const { commandId, tankId } = visit
    if (result.ok) outcomes.push({ commandId, tankId, visitId: result.value.visitId })
    else outcomes.push({ commandId, tankId, words: wordsOf(result) })
  }
  return { ok: true, value: { outcomes } }
}

function wordsOf(result: Exclude<Awaited<ReturnType<typeof bookVisit>>, { ok: true }>): string {
  if (result.words !== undefined) return result.words
  const first = 'fields' in result ? Object.values(result.fields).flatMap((messages) => messages ?? [])[0] : undefined
  return first ?? 'This could not be booked.'
}
