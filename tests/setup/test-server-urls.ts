import type { Client } from 'pg'

/** What the tests are told about their Postgres: how its owner signs in, and the migrated database to copy. */
export type TestServer = { ownerUrl: string; template: string }

/** The tests' own application roles: never the ones that real work uses on the same server. */
export const TEST_APP_ROLE = 'tankround_test_app'
export const TEST_IDENTITY_ROLE = 'tankround_test_sign_in'
export const TEST_APP_PASSWORD = 'only-for-tests'

/**
 * A name for a database that is dropped after its run. It carries the server's own time, by which a later run knows what a run that was cut off has left; the clock of this
 * machine may be pinned by the test that asks.
 */
export async function throwAwayName(server: Client, rest: string): Promise<string> {
  const { rows } = await server.query<{ seconds: string }>('select floor(extract(epoch from now()))::bigint as seconds')
  return `test_${rows[0]?.seconds ?? 0}_${rest}`
}

/** The same server, another database. */
export function urlOfDatabase(url: string, database: string): string {
  const other = new URL(url)
  other.pathname = `/${database}`
  return other.toString()
}
