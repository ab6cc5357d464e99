import 'server-only'

/** A rule of the database that a write broke; `words` name the rule and its columns as the driver gives them. */
export type BrokenRule = { kind: 'unique' | 'foreign-key' | 'exclusion'; words: string }

const KINDS: readonly [RegExp, BrokenRule['kind']][] = [
  [/\b(P2002|23505|UniqueConstraintViolation)\b/, 'unique'],
  [/\b(P2003|23503|ForeignKeyConstraintViolation)\b/, 'foreign-key'],
  [/\b23P01\b|exclusion constraint/, 'exclusion'],
]

/** Which rule an error of a write is about, or null where it is about none. */
export function brokenRule(error: unknown): BrokenRule | null {
  if (!(error instanceof Error)) return null
  // Where code and names stand depends on the driver: in the error, in `meta`, or in the cause that the driver gives.
  const { code = '', meta = {} } = error as { code?: unknown; meta?: unknown }
  const words = `${String(code)} ${error.message} ${JSON.stringify(meta)}`
  const kind = KINDS.find(([pattern]) => pattern.test(words))?.[1]
  return kind ? { kind, words } : null
}
