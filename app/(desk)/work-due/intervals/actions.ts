'use server'
import { revalidatePath } from 'next/cache'
import { redirect } from 'next/navigation'
import { decideInterval, setInterval } from '@/lib/office/intervals/commands'
import { decideSchema, setIntervalSchema, takeBackSchema } from '@/lib/office/intervals/schema'
import { takeBackAnswer } from '@/lib/office/intervals/take-back'
import { post } from '@/lib/office/people/post'
import type { FormState } from '@/lib/office/people/schema'
import { requireActor } from '@/lib/office/people/session'

export async function decideIntervalAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('due.change')
  const { state, value } = await post(actor, data, decideSchema, (input) => decideInterval(actor, input))
  if (!value) return state
  revalidatePath('/work-due', 'layout')
  // The question is gone from the page, and its form with it: the page itself says what was decided.
  redirect(`/work-due/intervals?decided=${String(data.get('commandId'))}`)
}

export async function takeBackAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('due.change')
  const { state, value } = await post(actor, data, takeBackSchema, (input) => takeBackAnswer(actor, input))
  if (!value) return state
  revalidatePath('/work-due', 'layout')
  redirect(`/work-due/intervals?decided=${String(data.get('commandId'))}`)
}

export async function setIntervalAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('due.change')
  const { state, value } = await post(actor, data, setIntervalSchema, (input) => setInterval(actor, input))
  if (!value) return state
  revalidatePath('/work-due', 'layout')
  return { ...state, notice: 'Set. It holds until you change it.' }
}
