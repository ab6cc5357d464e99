'use server'

import { revalidatePath } from 'next/cache'
import { redirect } from 'next/navigation'
import { z } from 'zod'
import { requireActor } from '@/lib/office/people/session'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { formFields, sayingOf } from '@/lib/office/visits/read-form'
import { VISIT_PAGES, type VisitFormState, visitCommandSchema } from '@/lib/office/visits/schema'

/** One thing said during a visit, from a form: checked, applied once, shown at once. */
export async function sayAction(_before: VisitFormState, data: FormData): Promise<VisitFormState> {
  const actor = await requireActor('visit.log')
  const form = formFields(data)
  const visitId = form.one('visitId')
  const command = visitCommandSchema.safeParse({
    ...sayingOf(form),
    ...{ id: form.one('commandId'), businessId: form.one('businessId'), visitId, version: 1 },
    ...{ madeAt: new Date().toISOString(), deviceId: `web-${actor.personId}`, deviceSeq: 0 },
  })
  if (!command.success)
    return { problem: '', messages: [...new Set(command.error.issues.map(({ message }) => message))] }
  const result = await applyVisitCommand(actor, command.data)
  if (!result.ok) {
    const messages = result.reason === 'invalid' ? Object.values(result.fields).flatMap((said) => said ?? []) : []
    return { problem: result.words ?? '', messages }
  }
  revalidatePath('/visits/[visitId]', 'layout')
  revalidatePath('/route')
  const next = z.enum(VISIT_PAGES).safeParse(data.get('next'))
  if (next.success) redirect(`/visits/${visitId}${next.data}`)
  return { problem: '', messages: [] }
}
