/** The mark that leads a screen to the right words: of an error of the server the browser learns nothing else. */
const TOOK_TOO_LONG = 'took-too-long'

/** Something was asked of the database that it could not answer in the time allowed; nothing of it was done. */
export class TookTooLong extends Error {
  readonly digest = TOOK_TOO_LONG
  constructor(cause: unknown) {
    super('The database did not answer in the time allowed.', { cause })
    this.name = 'TookTooLong'
  }
}

/** Postgres' query_canceled (57014), which a statement timeout raises, and Prisma's transaction that has run out of time (P2028). */
export function isOutOfTime(error: unknown): boolean {
  if (!(error instanceof Error)) return false
  if ('code' in error && error.code === 'P2028') return true
  return /57014|statement timeout/.test(`${error.message} ${'meta' in error ? JSON.stringify(error.meta) : ''}`)
}
