import { PrismaPg } from '@prisma/adapter-pg'
import type pg from 'pg'
import { defineConfig } from 'prisma/config'

/**
 * Prisma makes the client and compares schemas; migrations are applied by lib/platform/db/migrations.ts (docs/decisions/0016).
 * The JavaScript engine needs nothing but the package registry, and wants an adapter even where it connects to nothing.
 */
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
  adapter: async () => new PrismaPg(settingsFromUrl(process.env.DATABASE_URL ?? 'postgresql://127.0.0.1/none')),
})
