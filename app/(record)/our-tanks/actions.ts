'use server'
import { revalidatePath } from 'next/cache'
import { redirect } from 'next/navigation'
import { post } from '@/lib/office/people/post'
import type { FormState } from '@/lib/office/people/schema'
import { requireActor } from '@/lib/office/people/session'
import { askForVisit } from '@/lib/office/record/commands'
import { askForVisitSchema } from '@/lib/office/record/schema'

export async function askForVisitAction(_before: FormState, data: FormData): Promise<FormState> {
  const actor = await requireActor('record.ask')
  let tankId = ''
  const { state, value } = await post(actor, data, askForVisitSchema, (input) => {
    tankId = input.tankId
    return askForVisit(actor, input)
  })
  if (!value) return state
  revalidatePath(`/our-tanks/${tankId}`)
  redirect(`/our-tanks/${tankId}?asked=1#asked`)
}
