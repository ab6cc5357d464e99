import 'server-only'
import type { z } from 'zod'
import type { Actor } from '../frame/actor'
import { done, type Result, refused, withList } from '../frame/result'
import { rowId } from '../frame/row-ids'
import { fillFromAgreements } from './commands'
import { type BookVisitInput, bookVisitSchema, type dueFormSchema } from './schema'

/**
 * Books the ticked lines one by one. Each line's command follows from the form's own and the line, so that pressing again
 * books nothing twice; a line that cannot be read, or does not fit, is named, and the others are booked all the same.
 */
export async function bookDueForm(
  actor: Actor,
  { commandId, businessId, ...fields }: z.output<typeof dueFormSchema>,
): Promise<Result<{ booked: number }, 'nothing-ticked' | 'not-booked' | 'plan'>> {
  const visits: BookVisitInput[] = []
  const notBooked: string[] = []
  const labels = new Map<string, string>()
  for (const [key, line] of linesOf(fields)) {
    if (line.ticked !== 'on') continue
    const id = rowId(commandId, key)
    const label = line.label ?? ''
    labels.set(id, label)
    const parsed = bookVisitSchema.safeParse({ ...line, commandId: id, businessId, kind: 'routine' })
    if (parsed.success) visits.push(parsed.data)
    else notBooked.push(`${label}: ${parsed.error.issues[0]?.message ?? 'This line cannot be read.'}`)
  }
  if (labels.size === 0) return refused('nothing-ticked', 'Tick at least one visit.')
  const result = await fillFromAgreements(actor, { businessId, visits })
  if (!result.ok) return refused('plan', result.words ?? 'This could not be booked.')
  const { outcomes } = result.value
  for (const { commandId: id, words } of outcomes)
    if (words !== undefined) notBooked.push(`${labels.get(id) ?? ''}: ${words}`)
  const booked = outcomes.filter(({ visitId }) => visitId !== undefined).length
  if (notBooked.length === 0) return done({ booked })
  const opening = booked === 0 ? 'Not booked:' : `${bookedWords(booked)} Not booked:`
  return refused('not-booked', withList(opening, notBooked, ''))
}

/** "3 visits booked." */
export function bookedWords(count: number): string {
  return count === 1 ? 'One visit booked.' : `${count} visits booked.`
}

/** Fields called "<line>.<name>", put together again by line. */
function linesOf(fields: Readonly<Record<string, unknown>>): Map<string, Record<string, string>> {
  const lines = new Map<string, Record<string, string>>()
  for (const [field, value] of Object.entries(fields)) {
    const [key = '', name] = field.split('.')
    if (name !== undefined && typeof value === 'string') lines.set(key, { ...lines.get(key), [name]: value })
  }
  return lines
}
