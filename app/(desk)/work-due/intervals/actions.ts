'use server'
import { revalidatePath } from 'next/cache'
import { decideInterval, setInterval } from '@/lib/office/intervals/commands'
import { decideSchema, setIntervalSchema } from '@/lib/office/intervals/schema'
import { post } from '@/lib/office/people/post'
import type { FormState } from '@/lib/office/people/schema'
import { requireActor } from '@/lib/office/people/session'

export async function decideIntervalAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('due.change')
  const { state, value } = await post(actor, data, decideSchema, (input) => decideInterval(actor, input))
  if (!value) return state
  revalidatePath('/work-due', 'layout')
  return { ...state, notice: 'Done. The due dates follow.' }
}

export async function setIntervalAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('due.change')
  const { state, value } = await post(actor, data, setIntervalSchema, (input) => setInterval(actor, input))
  if (!value) return state
  revalidatePath('/work-due', 'layout')
  return { ...state, notice: 'Set. It holds until you change it.' }
}
