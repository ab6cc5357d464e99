import { Client } from 'pg'
import { OperatorError } from '@/lib/platform/config/operator-error'

/** A connection for what only the owner of the database may do. Errors: OperatorError where the server does not answer. */
export async function connectAsOwner(ownerUrl: string): Promise<Client> {
  const client = new Client({ connectionString: ownerUrl })
  client.on('error', () => undefined) // a server that goes away is an error of the running query, too
  try {
    await client.connect()
  } catch (error) {
    const { hostname, port, pathname } = new URL(ownerUrl)
    const reason = error instanceof Error && error.message ? error.message : String(error)
    throw new OperatorError(
      `The database ${pathname.slice(1)} at ${hostname}:${port || 5432} does not answer: ${reason}`,
    )
  }
  return client
}
