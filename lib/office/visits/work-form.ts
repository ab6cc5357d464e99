/** What a form says of looks and of a piece of work, and what must be said before the work. Pure. */
import { z } from 'zod'
import { findTask } from '@/lib/trade'
import { type FormFields, parsedJson } from './form-fields'
import { renewalsFor } from './looking'
import { RENEWAL_REASONS } from './words'

const knownSchema = z.array(z.object({ mode: z.string(), asFound: z.enum(['ok', 'needs_it', 'failed', 'not_looked']) }))

/** Names of a look's fields: `look|device|mode|field`. */
const LOOK_PREFIX = 'look'

/** The looks that somebody answered. */
export function looksOf(form: FormFields): Record<string, unknown>[] {
  return form.names.flatMap((name) => {
    const [prefix, equipmentId, mode, field] = name.split('|')
    if (prefix !== LOOK_PREFIX || field !== 'asFound' || form.one(name) === '') return []
    const at = (other: string) => form.one(`${LOOK_PREFIX}|${equipmentId}|${mode}|${other}`)
    const asFound = form.one(name)
    // "Not looked" has no depth; any stands for it.
    const depth = asFound === 'not_looked' ? 'running' : at('depth')
    const words = { symptom: at('symptom'), cause: at('cause'), remedy: at('remedy'), asLeft: at('asLeft') }
    return [{ equipmentId, mode, asFound, depth, ...words, cureConfidence: at('cureConfidence') || null }]
  })
}

/** A piece of work with the reason for each mode that it starts anew. */
export function workOf(form: FormFields) {
  const task = form.one('task')
  const looks = looksOf(form)
  const reason = z.enum(RENEWAL_REASONS).safeParse(form.one('reason'))
  const findings = findingsOf(form)
  const forModes = form.all('forModes')
  const renewals = reason.success
    ? renewalsFor(task, reason.data, findings, forModes.length > 0 ? forModes : undefined)
    : [{ mode: task, reason: form.one('reason') }] // refused by the schema, which says so
  return {
    kind: 'visit.work',
    equipmentId: form.one('equipmentId'),
    task,
    partial: form.one('partial') === 'on',
    looks,
    renewals,
  }
}

/** What was found at this visit on the device, before and with this form. */
function findingsOf(form: FormFields) {
  const known = parsedJson(form.one('known'), knownSchema) ?? []
  const looked = knownSchema.safeParse(looksOf(form))
  return [...known, ...(looked.success ? looked.data : [])]
}

/**
 * What must be said before this work can be written down, or null. Work in its turn, or while the device is out, needs no look.
 * "Found to need it" without a need and "getting there" without a look would end a life that nobody has seen the end of.
 */
export function askedBeforeWork(form: FormFields): string | null {
  const newest = new Map(findingsOf(form).map(({ mode, asFound }) => [mode, asFound]))
  const ticked = form.all('forModes')
  const asked = ticked.length > 0 ? ticked : (findTask(form.one('task'))?.renews ?? [])
  const fits = (right: (asFound: string | undefined) => boolean) =>
    ticked.length > 0 ? asked.every((mode) => right(newest.get(mode))) : asked.some((mode) => right(newest.get(mode)))
  switch (form.one('reason')) {
    case 'found':
      return fits((asFound) => asFound === 'needs_it' || asFound === 'failed')
        ? null
        : 'You chose “Found it needed doing”. Say first, under “Looked at first”, what needs it or failed. If nothing was found, choose “Scheduled”.'
    case 'condition':
      return fits((asFound) => asFound !== undefined && asFound !== 'not_looked')
        ? null
        : 'You chose “Worn, still OK”. Say first, under “Looked at first”, how you found it. If nobody looked, choose “Scheduled”.'
    default:
      return null
  }
}
