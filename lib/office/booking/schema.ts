import * as z from 'zod'
import { clockField, dayField, text } from '../frame/fields'
import { envelope, ticked } from '../frame/schema'

/** What people type to book, move and cancel visits and to answer requests. Pure: forms and server share it. */
export const VISIT_KINDS = ['routine', 'call_out', 'installation', 'return_check'] as const
export type VisitKind = (typeof VISIT_KINDS)[number]

export const VISIT_KIND_WORDS: Readonly<Record<VisitKind, string>> = {
  routine: 'Routine visit',
  call_out: 'Call-out',
  installation: 'Installation',
  return_check: 'Return check',
}

const day = dayField()
const clock = z.union([z.literal(''), clockField])
const optionalId = z.union([z.literal(''), z.uuid('Choose one from the list.')])

/** When and by whom. Times are the wall clock of the site; a blank one is not settled yet. */
const planFields = {
  date: day,
  windowStart: clock.default(''),
  windowEnd: clock.default(''),
  technicianId: optionalId.default(''),
  plannedStart: clock.default(''),
  plannedMinutes: z.coerce
    .number('How many minutes will it take?')
    .int('Write whole minutes.')
    .min(5, 'Plan at least 5 minutes.')
    .max(720, 'Plan at most 720 minutes; book the rest as a visit of its own.'),
  /** The yes to a plan in which the technician would be at two tanks at once. */
  overlapAccepted: ticked.default(false),
}

type PlanTimes = { windowStart: string; windowEnd: string; plannedStart: string }

function checkTimes({ windowStart, windowEnd, plannedStart }: PlanTimes, context: z.RefinementCtx): void {
  const issue = (path: string, message: string) => context.addIssue({ code: 'custom', path: [path], message })
  if (windowStart !== '' && windowEnd === '') issue('windowEnd', 'Until when may they expect us?')
  else if (windowStart === '' && windowEnd !== '') issue('windowStart', 'From when may they expect us?')
  else if (windowStart !== '' && windowStart >= windowEnd) issue('windowEnd', 'The window must end after it begins.')
  else if (windowStart !== '' && plannedStart !== '' && (plannedStart < windowStart || plannedStart > windowEnd))
    issue('plannedStart', `The promised window is ${windowStart} to ${windowEnd}.`)
}

const whatFor = text(1000)
const kind = z.enum(VISIT_KINDS, 'What kind of visit is it?')

export const bookVisitSchema = envelope
  .extend({ tankId: z.uuid('Choose a tank.'), kind, whatFor: whatFor.default(''), ...planFields })
  .superRefine(checkTimes)
export type BookVisitInput = z.output<typeof bookVisitSchema>

export const moveVisitSchema = envelope
  .extend({ visitId: z.uuid(), whatFor: whatFor.optional(), ...planFields })
  .superRefine(checkTimes)
export type MoveVisitInput = z.output<typeof moveVisitSchema>

export const outOfHoursSchema = envelope.extend({ visitId: z.uuid(), outOfHours: ticked })

export const cancelVisitSchema = envelope.extend({
  visitId: z.uuid(),
  reason: text(500).min(1, 'Why is it cancelled? A few words are enough.'),
})

export const bookFromRequestSchema = envelope
  .extend({ requestId: z.uuid(), kind, whatFor: whatFor.default(''), answer: text(500).default(''), ...planFields })
  .superRefine(checkTimes)
export type BookFromRequestInput = z.output<typeof bookFromRequestSchema>

export const answerRequestSchema = envelope.extend({
  requestId: z.uuid(),
  answer: text(500).min(1, 'Write what the client will read.'),
})

/** Visits due by agreement, ticked by the owner; each is a booking, and a command, of its own. */
export const BOOKED_AT_ONCE_MAX = 200
export const bookDueSchema = z.object({
  businessId: z.uuid(),
  visits: z.array(bookVisitSchema).min(1, 'Tick at least one visit.').max(BOOKED_AT_ONCE_MAX),
})
export type BookDueInput = z.output<typeof bookDueSchema>

/** An ISO week as it stands in addresses, "2026-W48". */
export const isoWeek = text(8).regex(/^\d{4}-W(0[1-9]|[1-4]\d|5[0-3])$/)

/** What names a line of the visits due: the same agreement is not due twice on one day. */
export const dueLineKey = ({ agreementId, dueOn }: { agreementId: string; dueOn: string }) => `${agreementId}|${dueOn}`

/** The posted form of the visits due: fields called "<line>.<name>". */
export const dueFormSchema = z.looseObject({ commandId: z.uuid(), businessId: z.uuid() })
