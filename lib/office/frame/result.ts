import type { ZodError } from 'zod'

/** Messages by the name of the field they belong to. */
export type FieldProblems = Partial<Record<string, string[]>>

/** An entry of this id was kept already, and said something else. */
export const OTHER_CONTENT = 'other-content'

/**
 * What a command answers. Refusals a person can act on are values with a reason; `words` says it in plain words.
 * Only bugs throw.
 */
export type Result<T, Reason extends string = never> =
  | { ok: true; value: T }
  | {
      ok: false
      reason: Reason | 'other-business' | 'not-allowed' | typeof OTHER_CONTENT | 'signed-out'
      words?: string
    }
  | { ok: false; reason: 'invalid'; fields: FieldProblems; words?: string }

export const OTHER_BUSINESS = {
  ok: false,
  reason: 'other-business',
  words: 'You are now signed in to another business. Nothing was saved. Reload the page.',
} as const

/** Nobody is signed in any more: what was typed stays with whoever typed it, until they have signed in again. */
export const SIGNED_OUT = {
  ok: false,
  reason: 'signed-out',
  words: 'You are signed out. Nothing was saved. Sign in again: what you typed will still be here.',
} as const

export const NOT_YOURS = { ok: false, reason: 'not-allowed', words: 'Your role does not allow this.' } as const

/** A value answered by a command. */
export function done<T>(value: T): { ok: true; value: T } {
  return { ok: true, value }
}

/** A refusal in the person's words. */
export function refused<Reason extends string>(
  reason: Reason,
  words: string,
): { ok: false; reason: Reason; words: string } {
  return { ok: false, reason, words }
}

/** Problems by field, as `z.flattenError(error).fieldErrors` gives them. */
export function invalid(
  fields: FieldProblems,
  words?: string,
): { ok: false; reason: 'invalid'; fields: FieldProblems; words?: string } {
  return { ok: false, reason: 'invalid', fields, words }
}

/** A refusal with several reasons has a line of text for each, so that a screen can show them as a list. */
const ITEM = '– '

/** What is to be done, each thing by itself, and what else can be done. */
export function withList(opening: string, items: readonly string[], closing: string): string {
  return [opening, ...items.map((item) => `${ITEM}${item}`), closing].join('\n')
}

/** The same taken apart again; a text of one line is its opening alone. */
export function readList(words: string): { opening: string; reasons: string[]; closing: string } {
  const lines = words.split('\n')
  const isItem = (line: string) => line.startsWith(ITEM)
  const first = lines.findIndex(isItem)
  if (first === -1) return { opening: lines[0] ?? '', reasons: lines.slice(1), closing: '' }
  const last = lines.findLastIndex(isItem)
  return {
    opening: lines.slice(0, first).join(' '),
    reasons: lines.slice(first, last + 1).map((line) => (isItem(line) ? line.slice(ITEM.length) : line)),
    closing: lines.slice(last + 1).join(' '),
  }
}

/** Messages by their full path, "lines.2.quantity", so that each lands beside its own field. */
export function problemsByField(error: ZodError): FieldProblems {
  const fields: FieldProblems = {}
  for (const { path, message } of error.issues) {
    const name = path.join('.')
    fields[name] = [...(fields[name] ?? []), message]
  }
  return fields
}
