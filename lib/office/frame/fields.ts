/** The kinds of field that every schema is made of: whatever passes can be stored and has an end. Pure. */
import * as z from 'zod'

const CANNOT_BE_KEPT = 'There is a character in it that cannot be kept. Write it again.'

/** The database keeps any text but a NUL, and a lone half of a character is none. */
function canBeKept(value: string): boolean {
  return !value.includes('\u0000') && !/\p{Surrogate}/u.test(value)
}

/** Text of at most so many characters, without what stands around it. `missing` is said where there is no text at all. */
export function text(most: number, tooLong = `Keep it under ${most} characters.`, missing?: string) {
  return z.string(missing).trim().max(most, tooLong).refine(canBeKept, CANNOT_BE_KEPT)
}

/** The same with the blanks around it: passwords. */
export function textAsTyped(most: number, tooLong = `Take at most ${most} characters.`, missing?: string) {
  return z.string(missing).max(most, tooLong).refine(canBeKept, CANNOT_BE_KEPT)
}

const FIRST_DAY = '1900-01-01'
const LAST_DAY = '2100-12-31'

/** A day of the calendar, `2026-11-25`. A mistyped year would stand at the end of every list for ever. */
export function dayField(words = 'Choose a day.') {
  return z.iso.date(words).refine((day) => day >= FIRST_DAY && day <= LAST_DAY, 'Choose a day between 1900 and 2100.')
}

/** An instant with its offset, as a device writes it. */
export const instantField = z.iso.datetime({ offset: true }).refine((instant) => {
  const time = Date.parse(instant)
  return time >= Date.parse(FIRST_DAY) && time <= Date.parse(LAST_DAY)
}, 'The clock of this device is wrong. Set it right and try again.')

/** A wall-clock time, `09:20`. */
export const clockField = text(5).regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Write a time, like 09:20.')

/** An address for e-invoices: a code of EN 16931's list of electronic address schemes (EAS), a colon, the id. Blank for none. */
export const endpointField = text(80)
  .default('')
  .refine(
    (value) => value === '' || /^(\d{4}|[A-Z]{2}):\S{1,70}$/.test(value),
    'Write its scheme and number, like 0088:5790000435975.',
  )

/** The largest whole number that a column `integer` holds. */
export const INTEGER_MAX = 2_147_483_647

/** Whether something sent is an object with named fields. */
export function isRecord(sent: unknown): sent is Record<string, unknown> {
  return typeof sent === 'object' && sent !== null && !Array.isArray(sent)
}

/**
 * A form's ticked boxes as a list: each box is a field called `prefix` and an id. Where the list is there already, it stays.
 * @example listOfTicked({ 'tank|a': 'on' }, 'tank|', 'tankIds') // { 'tank|a': 'on', tankIds: ['a'] }
 */
export function listOfTicked(sent: unknown, prefix: string, list: string): unknown {
  if (!isRecord(sent) || list in sent) return sent
  const names = Object.keys(sent).filter((name) => name.startsWith(prefix))
  return { ...sent, [list]: names.map((name) => name.slice(prefix.length)) }
}
