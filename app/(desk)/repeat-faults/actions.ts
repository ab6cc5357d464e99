'use server'
import { revalidatePath } from 'next/cache'
import { correctRemedy, recordRemedy, takeBackRemedy } from '@/lib/office/faults/commands'
import { correctRemedySchema, recordRemedySchema, takeBackRemedySchema } from '@/lib/office/faults/schema'
import { post } from '@/lib/office/people/post'
import type { FormState } from '@/lib/office/people/schema'
import { requireActor } from '@/lib/office/people/session'

export async function recordRemedyAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('faults.change')
  const { state, value } = await post(actor, data, recordRemedySchema, (input) => recordRemedy(actor, input))
  return shown(state, value, 'Written down. The fault is watched from now on.')
}

export async function correctRemedyAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('faults.change')
  const { state, value } = await post(actor, data, correctRemedySchema, (input) => correctRemedy(actor, input))
  return shown(state, value, 'Corrected.')
}

export async function takeBackRemedyAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('faults.change')
  const { state, value } = await post(actor, data, takeBackRemedySchema, (input) => takeBackRemedy(actor, input))
  return shown(state, value, 'Taken back.')
}

function shown(state: FormState, value: unknown, notice: string): FormState {
  if (!value) return state
  revalidatePath('/repeat-faults', 'layout')
  return { typed: {}, fields: {}, notice }
}
