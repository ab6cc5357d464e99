import { PrismaPg } from '@prisma/adapter-pg'
import pg from 'pg'
import { defineConfig } from 'prisma/config'

/**
 * The adapter cuts a migration at every semicolon and runs the pieces outside a transaction, which breaks functions,
 * triggers and policies. Here a migration is one query on one connection: it applies whole or not at all.
 * See docs/decisions/0002-prisma-version.md.
 */
class WholeScriptAdapter extends PrismaPg {
  constructor(private readonly settings: pg.ClientConfig) {
    super(settings)
  }

  override async connect() {
    const adapter = await super.connect()
    adapter.executeScript = async (script: string) => {
      const client = new pg.Client(this.settings)
      await client.connect()
      try {
        await client.query(script)
      } finally {
        await client.end()
      }
    }
    // With two schemas the engine lists tables by catalogue columns of type `name`, which the adapter cannot read.
    const queryRaw = adapter.queryRaw.bind(adapter)
    adapter.queryRaw = (query) =>
      queryRaw({ ...query, sql: query.sql.replaceAll(/(\b\w+\.(?:relname|nspname)) AS/g, '$1::text AS') })
    return adapter
  }
}

/** Host, port, user, password and database apart: with a connection string the shadow database would be the real one. */
function settingsFromUrl(url: string): pg.ClientConfig {
  const parts = new URL(url)
  return {
    host: decodeURIComponent(parts.hostname) || parts.searchParams.get('host') || '127.0.0.1',
    port: Number(parts.port || 5432),
    user: decodeURIComponent(parts.username),
    password: decodeURIComponent(parts.password),
    database: decodeURIComponent(parts.pathname.slice(1)),
  }
}

export default defineConfig({
  experimental: { adapter: true },
  engine: 'js',
  schema: 'prisma/schema.prisma',
  migrations: { path: 'prisma/migrations' },
  adapter: async () =>
    new WholeScriptAdapter(settingsFromUrl(process.env.DATABASE_URL ?? 'postgresql://127.0.0.1/none')),
})
