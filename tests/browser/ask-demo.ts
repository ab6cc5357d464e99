import pg from 'pg'
import { inject } from 'vitest'
import { loginsOf } from './people'

type Rows = pg.QueryResultRow

/** Asks the database of the running site as the demo's business sees it. */
export async function askDemo<Row extends Rows>(sql: string, values: unknown[] = []): Promise<Row[]> {
  const { appUrl, ownerUrl } = inject('site')
  const [owner] = await inTransaction(ownerUrl, async (client) => {
    await client.query('SET LOCAL ROLE tankround_identity')
    return client.query<{ businessId: string; personId: string }>(
      `SELECT membership.business_id AS "businessId", membership.person_id AS "personId"
         FROM membership JOIN identity.login ON login.id = membership.login_id WHERE login.email = $1`,
      [loginsOf('owner')[0]?.email],
    )
  })
  if (!owner) throw new Error('the demo has no owner')
  return inTransaction(appUrl, async (client) => {
    await client.query(
      `SELECT set_config('role', 'tankround_office', true), set_config('app.business_id', $1, true),
         set_config('app.user_id', $2, true)`,
      [owner.businessId, owner.personId],
    )
    return client.query<Row>(sql, values)
  })
}

async function inTransaction<Row extends Rows>(
  url: string,
  work: (client: pg.Client) => Promise<pg.QueryResult<Row>>,
): Promise<Row[]> {
  const client = new pg.Client({ connectionString: url })
  await client.connect()
  try {
    await client.query('BEGIN')
    return (await work(client)).rows
  } finally {
    await client.end()
  }
}
