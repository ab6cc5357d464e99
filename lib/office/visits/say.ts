import 'server-only'
import { z } from 'zod'
import type { Sent } from '../frame/action'
import type { Actor } from '../frame/actor'
import { invalid, type Result } from '../frame/result'
import { applyVisitCommand, type VisitReason } from './commands'
import { type FormFields, formFields } from './form-fields'
import { formMessage, formMessages } from './form-problems'
import { namesAtVisit } from './names-at-visit'
import { sayingOf } from './read-form'
import { VISIT_PAGES, visitCommandSchema } from './schema'
import { askedBeforeWork } from './work-form'

/** What every form of a visit sends. A visit that is started has the id of its first command. */
export const visitFormSchema = z.object({
  commandId: z.uuid(),
  businessId: z.uuid(),
  visitId: z.uuid(),
  /** The page of the visit to go on to. */
  next: z.enum(VISIT_PAGES).optional(),
  form: z.custom<FormFields>((value) => typeof value === 'object' && value !== null),
})

/** The fields of a form of a visit as `visitFormSchema` takes them. */
export function readVisitForm(sent: Sent): unknown {
  const form = formFields(sent)
  const commandId = form.one('commandId')
  return {
    ...{ commandId, businessId: form.one('businessId'), visitId: form.one('visitId') || commandId },
    next: form.names.includes('next') ? form.one('next') : undefined,
    form,
  }
}

/** One thing said during a visit, from a form: checked, applied once. What is wrong is said with the device and the thing it is about. */
export async function submitVisitCommand(
  actor: Actor,
  { commandId, businessId, visitId, form }: z.output<typeof visitFormSchema>,
): Promise<Result<{ visitId: string }, VisitReason>> {
  const saying = sayingOf(form)
  const command = visitCommandSchema.safeParse({
    ...saying,
    ...{ id: commandId, businessId, visitId, version: 1 },
    ...{ madeAt: new Date().toISOString(), deviceId: `web-${actor.personId}`, deviceSeq: 0 },
  })
  if (!command.success)
    return invalid({ form: formMessages(saying, command.error.issues, await namesAtVisit(actor, visitId)) })
  const asked = command.data.kind === 'visit.work' ? askedBeforeWork(form) : null
  if (asked !== null) return invalid({ form: [formMessage(saying, asked, await namesAtVisit(actor, visitId))] })
  return applyVisitCommand(actor, command.data)
}
