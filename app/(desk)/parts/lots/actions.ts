'use server'
import { revalidatePath } from 'next/cache'
import { redirect } from 'next/navigation'
import { addLot, editLot, takeBackUse, tickLot } from '@/lib/office/lots/commands'
import { addLotSchema, editLotSchema, takeBackUseSchema, tickLotFormSchema } from '@/lib/office/lots/schema'
import { post } from '@/lib/office/people/post'
import type { FormState } from '@/lib/office/people/schema'
import { requireActor } from '@/lib/office/people/session'

export async function addLotAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('parts.change')
  const { state, value } = await post(actor, data, addLotSchema, (input) => addLot(actor, input))
  if (!value) return state
  revalidatePath('/parts/lots', 'layout')
  redirect(`/parts/lots/${value.lotId}`)
}

export async function editLotAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('parts.change')
  const { state, value } = await post(actor, data, editLotSchema, (input) => editLot(actor, input))
  return value ? shown('Saved.') : state
}

export async function tickLotAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('parts.change')
  const { state, value } = await post(actor, data, tickLotFormSchema, (input) => tickLot(actor, input))
  if (!value) return state
  return shown(value.added === 0 ? 'These were written down already.' : `Written down for ${tanks(value.added)}.`)
}

export async function takeBackUseAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('parts.change')
  const { state, value } = await post(actor, data, takeBackUseSchema, (input) => takeBackUse(actor, input))
  return value ? shown('Taken back.') : state
}

const tanks = (count: number) => (count === 1 ? 'one tank' : `${count} tanks`)

function shown(notice: string): FormState {
  revalidatePath('/parts/lots', 'layout')
  revalidatePath('/today')
  return { typed: {}, fields: {}, notice }
}
