'use server'
import { revalidatePath } from 'next/cache'
import { doneFollowUp } from '@/lib/office/follow-ups/commands'
import { doneFollowUpSchema } from '@/lib/office/follow-ups/schema'
import { post } from '@/lib/office/people/post'
import type { FormState } from '@/lib/office/people/schema'
import { requireActor } from '@/lib/office/people/session'

export async function keepPromiseAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('visit.log')
  const { state, value } = await post(actor, data, doneFollowUpSchema, (input) => doneFollowUp(actor, input))
  if (value) revalidatePath('/today')
  return state
}
