/**
 * Everything that can be said during a visit, as small commands that are only ever added to. The same on the phone and on
 * the server: what a phone appends to its log is what the server applies. Pure.
 */
import * as z from 'zod'
import { currentSlug } from '@/lib/trade/catalogue/formerly'
import { dayField, INTEGER_MAX, instantField, text } from '../frame/fields'
import { VOLUME_UNITS } from '../frame/typed-figures'
import { AS_FOUND, CURE_CONFIDENCES, DEPTHS, RENEWAL_REASONS } from './words'

const words = text(4000)
/** A phone that was away while a slug was renamed says the former spelling. */
const mode = text(200).min(1, 'What is it about? Choose one.').transform(currentSlug)
const isoDay = dayField()
const instant = instantField
/** One row comes from each pair at most, so a list never names the same pair twice. */
const pair = { equipmentId: z.uuid('What is it about? Choose one.'), mode }
const samePair = (items: readonly { equipmentId: string; mode: string }[]) =>
  new Set(items.map((item) => `${item.equipmentId} ${item.mode}`)).size === items.length

/** What every command of a visit carries. `madeAt` is the device's clock, `clockOffsetMs` what must be added to it. */
const envelopeFields = {
  id: z.uuid(),
  businessId: z.uuid(),
  visitId: z.uuid(),
  version: z.literal(1),
  madeAt: instant,
  clockOffsetMs: z.int().min(-INTEGER_MAX).max(INTEGER_MAX).default(0),
  deviceId: text(100).min(1),
  deviceSeq: z.int().min(0).max(INTEGER_MAX),
}

/** A look at one failure mode of one device. Nothing has a default that would say "fine". */
export const lookSchema = z.object({
  ...pair,
  asFound: z.enum(AS_FOUND, 'As found: fine, needs it, failed, or not looked.'),
  depth: z.enum(DEPTHS, 'How closely did you look?'),
  symptom: words.default(''),
  cause: words.default(''),
  remedy: words.default(''),
  asLeft: words.default(''),
  cureConfidence: z.enum(CURE_CONFIDENCES).nullable().default(null),
})
export type Look = z.infer<typeof lookSchema>
const looks = z.array(lookSchema).max(300).refine(samePair, 'One look for each thing that can go wrong.')

const renewalSchema = z.object({ mode, reason: z.enum(RENEWAL_REASONS, 'Why was it done? Choose one.') })
const FIGURE = /^[-+]?\d{1,7}([.,]\d{1,6})?$/
const FIGURE_OR_NONE = /^([-+]?\d{1,7}([.,]\d{1,6})?)?$/
/** Shares of the tank, and volumes as a business writes them. */
export const WATER_UNITS = ['%', ...VOLUME_UNITS] as const
const readingFields = {
  quantity: text(60).min(1),
  enteredValue: text(20).regex(FIGURE, 'A figure such as 8.2.'),
  enteredUnit: text(20),
}
const readingSchema = z.object(readingFields)

/** A figure measured on a device; of a membrane `enteredValue` comes out and `enteredInto` goes in. */
const deviceReadingSchema = z.object({
  equipmentId: z.uuid(),
  ...readingFields,
  enteredInto: text(20)
    .regex(/^(\d{1,7}([.,]\d{1,6})?)?$/, 'A figure such as 250.')
    .default(''),
})

const LEVEL_WORDS = 'A level: a figure from 0, such as 14 or 2.5. Write 1500, not 1,500.'
const level = z.number(LEVEL_WORDS).min(0, LEVEL_WORDS).max(99_999_999, LEVEL_WORDS).nullable()
/** What a container held when it was come upon and when it was left, in its own unit; null where nobody looked. */
const levelSchema = z
  .object({ reservoirId: z.uuid(), levelBefore: level, levelAfter: level })
  .refine(({ levelBefore, levelAfter }) => levelBefore !== null || levelAfter !== null, 'Say at least one level.')

const partFields = {
  priceItemId: z.uuid().nullable().default(null),
  /** A part that the business keeps: it comes off the van. Null or left out: in words only, or as it was before. */
  partId: z.uuid().nullable().optional(),
  description: text(300).min(1, 'What was used?'),
  quantity: z
    .number('How many? A figure such as 2 or 0.5; write 1500, not 1,500.')
    .positive('How many? A figure such as 2 or 0.5.')
    .max(99_999)
    .refine((value) => Math.abs(value * 1000 - Math.round(value * 1000)) < 1e-6, 'Three decimals at most.'),
  billable: z.boolean(),
}
const minutes = z
  .number('Minutes: a whole number from 1 to 1440.')
  .int('Minutes: a whole number from 1 to 1440.')
  .min(1, 'Minutes: a whole number from 1 to 1440.')
  .max(1440, 'Minutes: a whole number from 1 to 1440.')

const devices = z.array(text(60).min(1).transform(currentSlug)).max(40)

/** A correction is said as the thing should have read; the newest one counts. */
const correction = z.discriminatedUnion('of', [
  z.object({ of: z.literal('finding'), look: lookSchema }),
  z.object({ of: z.literal('reading'), targetId: z.uuid(), ...readingFields }),
  z.object({
    of: z.literal('renewal'),
    targetId: z.uuid(),
    reason: z.enum(RENEWAL_REASONS),
    /** Only part of it was done after all: it renews nothing. */
    partial: z.boolean(),
  }),
  z.object({ of: z.literal('part'), targetId: z.uuid(), ...partFields, quantity: z.number().min(0).max(99_999) }),
])

const command = <Kind extends string, Shape extends z.ZodRawShape>(kind: Kind, shape: Shape) =>
  z.object({ ...envelopeFields, kind: z.literal(kind), ...shape })

export const visitCommandSchema = z.discriminatedUnion('kind', [
  /** A visit nobody planned: the technician is there now. The visit's id is the command's. */
  command('visit.start', {
    tankId: z.uuid('Which tank?'),
    visitKind: z.enum(['routine', 'call_out', 'installation', 'return_check']),
    whatFor: text(500).default(''),
  }),
  command('visit.arrive', {}),
  command('visit.no-access', { reason: text(1000).min(1, 'What kept you out?'), minutes: minutes.nullable() }),
  /** Somebody thinks that this may be wrong: it must be looked at, and no tap for "the rest" covers it. */
  command('visit.suspect', { ...pair, words }),
  command('visit.record-looks', {
    looks: looks.min(1, 'Nothing is said yet: say of one thing at least how you found it.'),
  }),
  /** "All else seen running, nothing wrong." The pairs are what the person saw listed; see `creditsOf`. */
  command('visit.all-running', {
    pairs: z.array(z.object(pair)).max(1000).refine(samePair, 'Each thing once.'),
  }),
  /** What somebody on site said: not a look. */
  command('visit.record-report', {
    ...pair,
    asFound: z.enum(['needs_it', 'failed'], 'What did they see: needs it, or failed?'),
    reportedOn: isoDay.nullable(),
    sure: z.boolean(),
    words,
  }),
  /** A care task, after its own looks. `renewals` says for each mode why it starts anew; see `renewalsFor`. */
  command('visit.work', {
    equipmentId: z.uuid(),
    task: text(200).min(1).transform(currentSlug),
    partial: z.boolean(),
    looks,
    renewals: z
      .array(renewalSchema)
      .max(100)
      .refine((all) => new Set(all.map((renewal) => renewal.mode)).size === all.length, 'Each mode once.'),
  }),
  command('visit.readings', { readings: z.array(readingSchema).min(1, 'No figure is written yet.').max(60) }),
  /** Figures that show how a device wears. Of one device and quantity the newest counts. */
  command('visit.device-readings', {
    readings: z
      .array(deviceReadingSchema)
      .min(1, 'Nothing was measured.')
      .max(60)
      .refine(
        (all) => new Set(all.map((one) => `${one.equipmentId} ${one.quantity}`)).size === all.length,
        'Each once.',
      ),
  }),
  /** Containers, before and after filling. Of one container the newest figure given counts. */
  command('visit.levels', {
    levels: z
      .array(levelSchema)
      .min(1, 'No level was given.')
      .max(60)
      .refine((all) => new Set(all.map(({ reservoirId }) => reservoirId)).size === all.length, 'Each container once.'),
  }),
  /** Deliveries of salt, reagent, food, lamps or tubes that went into this tank: what tanks of one lot share can then be found. */
  command('visit.use-lots', { lotIds: z.array(z.uuid()).min(1, 'Which lot? Tick one at least.').max(50) }),
  command('visit.switch-off', { devices: devices.min(1, 'What did you switch off? Tick it.') }),
  command('visit.switch-on', { devices: devices.min(1, 'What is on again? Tick it.') }),
  command('visit.use-part', partFields),
  /** `replaces`: the notes that the writer saw and wrote anew. Two people who write at once both keep their words. */
  command('visit.note', {
    audience: z.enum(['client', 'us']),
    text: words,
    replaces: z.array(z.uuid()).max(100),
  }).refine(
    ({ text, replaces }) => text !== '' || replaces.length > 0,
    'Nothing is written yet. Write the note first.',
  ),
  command('visit.promise', { what: text(1000).min(1, 'What was promised?'), dueOn: isoDay }),
  command('visit.promise-kept', { followUpId: z.uuid(), note: text(1000) }),
  /** The words about a picture; its id is the command's. The picture follows on its own. */
  command('visit.photo', { caption: text(500), forClient: z.boolean(), takenAt: instant }),
  command('visit.leave', {
    outcome: z.enum(['done', 'cut_short'], 'How did the visit end?'),
    minutes,
    leavingCheckDone: z.array(text(100).transform(currentSlug)).max(60),
    leftEarlyReason: text(1000).default(''),
    /** They were there before the arrival was said: the minutes may be more than have gone by since. */
    loggedAfterwards: z.boolean().default(false),
  }),
  /** Water changed, by volume or by share of the tank; of the new water what was measured. */
  command('visit.water-change', {
    amount: text(20).regex(FIGURE, 'How much? A figure such as 60 or 12.5.'),
    unit: z.enum(WATER_UNITS, 'Litres, or a share of the tank? Choose one.'),
    newSalinity: text(20).regex(FIGURE_OR_NONE, 'A figure such as 35.').default(''),
    newSalinityUnit: text(20).default(''),
    newTemperatureC: text(20).regex(FIGURE_OR_NONE, 'A figure such as 25.').default(''),
  }),
  /** What was behind a sign, at the end of a search: a cause of its table, or `not-found`, an honest end. */
  command('visit.find-cause', {
    sign: text(60).min(1),
    equipmentId: z.uuid().nullable().default(null),
    cause: text(60).min(1, 'What was it? Choose a cause, or “Not found today”.'),
    answers: z.array(z.object({ check: text(60).min(1), answer: text(60).min(1) })).max(100),
    ruledOut: z.array(text(60).min(1)).max(100),
  }),
  command('visit.correct', { correction }),
  /** The undo of something said at this visit, as if it had never been said; kept in the log. */
  command('visit.take-back', { takesBack: z.uuid() }),
])

/** The kinds of everything that can be said during a visit. */
export const KINDS_SAID: readonly VisitCommand['kind'][] = visitCommandSchema.options.map(
  ({ shape }) => shape.kind.value,
)

/** A command of a visit, checked. */
export type VisitCommand = z.output<typeof visitCommandSchema>
/** The same as it may be written down, before defaults are filled in. */
export type VisitCommandInput = z.input<typeof visitCommandSchema>
export type CommandOf<Kind extends VisitCommand['kind']> = Extract<VisitCommand, { kind: Kind }>

/** Where a form leads after success, below the visit's address. */
export const VISIT_PAGES = ['', '/look', '/test', '/work', '/leave'] as const
