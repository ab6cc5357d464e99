'use server'
import { revalidatePath } from 'next/cache'
import { post } from '@/lib/office/people/post'
import type { FormState } from '@/lib/office/people/schema'
import { requireActor } from '@/lib/office/people/session'
import { changeBusinessSettings, changeCosts } from '@/lib/office/settings/commands'
import { businessSettingsSchema, costsSchema } from '@/lib/office/settings/schema'

export async function changeBusinessSettingsAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('settings.change')
  const { state, value } = await post(actor, data, businessSettingsSchema, (input) =>
    changeBusinessSettings(actor, input),
  )
  if (!value) return state
  revalidatePath('/', 'layout')
  return { ...state, notice: 'Saved. Invoices issued before keep what they were issued with.' }
}

export async function changeCostsAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('settings.change')
  const { state, value } = await post(actor, data, costsSchema, (input) => changeCosts(actor, input))
  if (!value) return state
  revalidatePath('/settings', 'layout')
  return { ...state, notice: 'Stated. What is due is being worked out again with these costs.' }
}
