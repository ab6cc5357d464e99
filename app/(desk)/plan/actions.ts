'use server'
import { revalidatePath } from 'next/cache'
import { redirect } from 'next/navigation'
import { z } from 'zod'
import type { Actor } from '@/lib/office/actor'
import {
  answerRequest,
  bookFromRequest,
  bookVisit,
  cancelVisit,
  fillFromAgreements,
  moveVisit,
} from '@/lib/office/booking/commands'
import { weekOfDay } from '@/lib/office/booking/local-time'
import {
  answerRequestSchema,
  type BookDueState,
  type BookingState,
  type BookVisitInput,
  bookFromRequestSchema,
  bookVisitSchema,
  cancelVisitSchema,
  moveVisitSchema,
} from '@/lib/office/booking/schema'
import { post } from '@/lib/office/people/post'
import { type FormState, textFields } from '@/lib/office/people/schema'
import { requireActor } from '@/lib/office/people/session'
import { OTHER_BUSINESS, type Result } from '@/lib/office/result'

export async function bookVisitAction(_before: BookingState, data: FormData): Promise<BookingState> {
  const actor = await requireActor('plan.change')
  return plan(actor, data, bookVisitSchema, bookVisit, 'booked')
}

export async function bookFromRequestAction(_before: BookingState, data: FormData): Promise<BookingState> {
  const actor = await requireActor('plan.change')
  return plan(actor, data, bookFromRequestSchema, bookFromRequest, 'booked')
}

export async function moveVisitAction(_before: BookingState, data: FormData): Promise<BookingState> {
  const actor = await requireActor('plan.change')
  return plan(actor, data, moveVisitSchema, moveVisit, 'moved')
}

export async function cancelVisitAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('plan.change')
  const { state, value } = await post(actor, data, cancelVisitSchema, (input) => cancelVisit(actor, input))
  if (!value) return state
  planChanged()
  redirect(`/plan/visits/${value.visitId}`)
}

export async function answerRequestAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('plan.change')
  const { state, value } = await post(actor, data, answerRequestSchema, (input) => answerRequest(actor, input))
  if (value) planChanged()
  return state
}

/** Books the ticked lines one by one; a line that cannot be read is named beside those that do not fit. */
export async function bookDueAction(_before: BookDueState, data: FormData): Promise<BookDueState> {
  const actor = await requireActor('plan.change')
  const { businessId = '', ...fields } = textFields(data)
  if (businessId !== actor.businessId) return { booked: 0, notBooked: [], problem: OTHER_BUSINESS.words }
  const visits: BookVisitInput[] = []
  const notBooked: BookDueState['notBooked'] = []
  const labels = new Map<string, string>()
  for (const [commandId, line] of linesOf(fields)) {
    if (line.ticked !== 'on') continue
    const label = line.label ?? ''
    labels.set(commandId, label)
    const parsed = bookVisitSchema.safeParse({ ...line, commandId, businessId, kind: 'routine' })
    if (parsed.success) visits.push(parsed.data)
    else notBooked.push({ label, words: parsed.error.issues[0]?.message ?? 'This line cannot be read.' })
  }
  if (labels.size === 0) return { booked: 0, notBooked, problem: 'Tick at least one visit.' }
  const result = await fillFromAgreements(actor, { businessId, visits })
  if (!result.ok) return { booked: 0, notBooked, problem: result.words ?? 'This could not be booked.' }
  planChanged()
  for (const { commandId, words } of result.value.outcomes)
    if (words !== undefined) notBooked.push({ label: labels.get(commandId) ?? '', words })
  return { booked: result.value.outcomes.filter((outcome) => outcome.visitId !== undefined).length, notBooked }
}

/** Parse, refuse a form made for another business, run one command; then to the week in which the visit now stands. */
async function plan<Input extends { businessId: string; date: string }, Reason extends string>(
  actor: Actor,
  data: FormData,
  schema: z.ZodType<Input>,
  command: (actor: Actor, input: Input) => Promise<Result<{ visitId: string }, Reason>>,
  said: 'booked' | 'moved',
): Promise<BookingState> {
  const typed = textFields(data)
  const parsed = schema.safeParse(typed)
  if (!parsed.success) return { typed, fields: z.flattenError(parsed.error).fieldErrors as BookingState['fields'] }
  if (parsed.data.businessId !== actor.businessId) return { typed, fields: {}, problem: OTHER_BUSINESS.words }
  const result = await command(actor, parsed.data)
  if (!result.ok) {
    if ('fields' in result) return { typed, fields: result.fields, ...(result.words ? { problem: result.words } : {}) }
    const problem = result.words ?? 'This could not be saved.'
    return { typed, fields: {}, problem, overlap: result.reason === 'overlap' }
  }
  planChanged()
  redirect(`/plan?week=${weekOfDay(parsed.data.date)}&said=${said}`)
}

function planChanged(): void {
  revalidatePath('/plan', 'layout')
  revalidatePath('/today')
}

/** Fields called "<command id>.<name>", put together again by line. */
function linesOf(fields: Record<string, string>): Map<string, Record<string, string>> {
  const lines = new Map<string, Record<string, string>>()
  for (const [key, value] of Object.entries(fields)) {
    const [commandId = '', name] = key.split('.')
    if (name !== undefined) lines.set(commandId, { ...lines.get(commandId), [name]: value })
  }
  return lines
}
