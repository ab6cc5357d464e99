'use server'

import { revalidatePath } from 'next/cache'
import { redirect } from 'next/navigation'
import { z } from 'zod'
import { requireActor } from '@/lib/office/people/session'
import { applyVisitCommand } from '@/lib/office/visits/commands'
import { formFields } from '@/lib/office/visits/form-fields'
import { formMessage, formMessages } from '@/lib/office/visits/form-problems'
import { namesAtVisit } from '@/lib/office/visits/names-at-visit'
import { sayingOf } from '@/lib/office/visits/read-form'
import { readList } from '@/lib/office/visits/refusal-list'
import { VISIT_PAGES, type VisitFormState, visitCommandSchema } from '@/lib/office/visits/schema'
import { askedBeforeWork } from '@/lib/office/visits/work-form'

/** One thing said during a visit, from a form: checked, applied once, shown at once. */
export async function sayAction(_before: VisitFormState, data: FormData): Promise<VisitFormState> {
  const actor = await requireActor('visit.log')
  const form = formFields(data)
  const visitId = form.one('visitId')
  const saying = sayingOf(form)
  const command = visitCommandSchema.safeParse({
    ...saying,
    ...{ id: form.one('commandId'), businessId: form.one('businessId'), visitId, version: 1 },
    ...{ madeAt: new Date().toISOString(), deviceId: `web-${actor.personId}`, deviceSeq: 0 },
  })
  if (!command.success)
    return { problem: '', messages: formMessages(saying, command.error.issues, await namesAtVisit(actor, visitId)) }
  const asked = command.data.kind === 'visit.work' ? askedBeforeWork(form) : null
  if (asked !== null) return { problem: '', messages: [formMessage(saying, asked, await namesAtVisit(actor, visitId))] }
  const result = await applyVisitCommand(actor, command.data)
  if (!result.ok) {
    const messages = result.reason === 'invalid' ? Object.values(result.fields).flatMap((said) => said ?? []) : []
    const { opening, reasons, closing } = readList(result.words ?? '')
    return { problem: opening, messages, reasons, closing }
  }
  revalidatePath('/visits/[visitId]', 'layout')
  revalidatePath('/route')
  const next = z.enum(VISIT_PAGES).safeParse(data.get('next'))
  if (next.success) redirect(`/visits/${visitId}${next.data}`)
  return { problem: '', messages: [] }
}
