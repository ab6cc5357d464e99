/** What the tests are told about their Postgres: how its owner signs in, and the migrated database to copy. */
export type TestServer = { ownerUrl: string; template: string }

/** The tests' own application role: never the one that real work uses on the same server. */
export const TEST_APP_ROLE = 'tankround_test_app'
export const TEST_APP_PASSWORD = 'only-for-tests'

/** The same server, another database. */
export function urlOfDatabase(url: string, database: string): string {
  const other = new URL(url)
  other.pathname = `/${database}`
  return other.toString()
}
