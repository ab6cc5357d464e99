/** Messages by the name of the field they belong to. */
export type FieldProblems = Partial<Record<string, string[]>>

/**
 * What a command answers. Refusals a person can act on are values with a reason; `words` says it in plain words.
 * Only bugs throw.
 */
export type Result<T, Reason extends string = never> =
  | { ok: true; value: T }
  | { ok: false; reason: Reason | 'other-business' | 'not-allowed'; words?: string }
  | { ok: false; reason: 'invalid'; fields: FieldProblems; words?: string }

export const OTHER_BUSINESS = {
  ok: false,
  reason: 'other-business',
  words: 'You are now signed in to another business. Nothing was saved. Reload the page.',
} as const

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
