import type pg from 'pg'
import { newId } from '@/lib/new-id'

/** One client of one business with one row in every business table, made from the catalogue alone. */
export type World = { name: string; businessId: string; clientId: string; personId: string; rows: Map<string, Row> }
export type Row = Record<string, unknown>

export type Column = {
  table: string
  name: string
  type: string
  nullable: boolean
  hasDefault: boolean
  firstAllowed?: string
}
export type Reference = { table: string; columns: string[]; parent: string; parentColumns: string[] }
export type Catalogue = { tables: string[]; columns: Map<string, Column[]>; references: Reference[] }

/** The business tables of schema public as Postgres itself lists them; views are listed with them. */
export async function readCatalogue(owner: pg.Client): Promise<Catalogue> {
  const tables = await owner.query<{ relname: string }>(
    `SELECT relname FROM pg_class JOIN pg_namespace ON pg_namespace.oid = relnamespace
     WHERE nspname = 'public' AND relkind IN ('r', 'p', 'v', 'm') AND relname <> '_prisma_migrations' ORDER BY relname`,
  )
  const columns = await owner.query<{
    table: string
    name: string
    type: string
    nullable: boolean
    has_default: boolean
    checks: string | null
  }>(
    `SELECT c.relname AS table, a.attname AS name, format_type(a.atttypid, a.atttypmod) AS type, NOT a.attnotnull AS nullable,
       a.atthasdef AS has_default,
       (SELECT string_agg(pg_get_constraintdef(k.oid), ' ') FROM pg_constraint k
        WHERE k.conrelid = c.oid AND k.contype = 'c' AND k.conkey = ARRAY[a.attnum]) AS checks
     FROM pg_attribute a JOIN pg_class c ON c.oid = a.attrelid JOIN pg_namespace n ON n.oid = c.relnamespace
     WHERE n.nspname = 'public' AND a.attnum > 0 AND NOT a.attisdropped AND c.relkind IN ('r', 'p') ORDER BY c.relname, a.attnum`,
  )
  const references = await owner.query<{ table: string; columns: string[]; parent: string; parent_columns: string[] }>(
    `SELECT c.relname AS table, p.relname AS parent,
       (SELECT array_agg(a.attname::text ORDER BY u.n) FROM unnest(k.conkey) WITH ORDINALITY u(num, n)
          JOIN pg_attribute a ON a.attrelid = k.conrelid AND a.attnum = u.num) AS columns,
       (SELECT array_agg(a.attname::text ORDER BY u.n) FROM unnest(k.confkey) WITH ORDINALITY u(num, n)
          JOIN pg_attribute a ON a.attrelid = k.confrelid AND a.attnum = u.num) AS parent_columns
     FROM pg_constraint k JOIN pg_class c ON c.oid = k.conrelid JOIN pg_class p ON p.oid = k.confrelid
     JOIN pg_namespace n ON n.oid = c.relnamespace JOIN pg_namespace m ON m.oid = p.relnamespace
     WHERE k.contype = 'f' AND n.nspname = 'public' AND m.nspname = 'public'`,
  )
  const byTable = new Map<string, Column[]>()
  for (const row of columns.rows) {
    const list = byTable.get(row.table) ?? []
    const firstAllowed = row.checks?.match(/ARRAY\['([^']+)'/)?.[1]
    list.push({ ...row, hasDefault: row.has_default, ...(firstAllowed ? { firstAllowed } : {}) })
    byTable.set(row.table, list)
  }
  return {
    tables: tables.rows.map((row) => row.relname),
    columns: byTable,
    references: references.rows.map((row) => ({ ...row, parentColumns: row.parent_columns })),
  }
}

/** Parents before children; an optional reference waits too unless that never ends, and one to a batch always. */
export function inOrder(catalogue: Catalogue): string[] {
  const waiting = new Set(catalogue.tables)
  const order: string[] = []
  const isReady = (table: string, strict: boolean) =>
    catalogue.references.every(
      (r) => r.table !== table || r.parent === table || !waiting.has(r.parent) || (!strict && isOptional(catalogue, r)),
    )
  while (waiting.size > 0) {
    const strictly = [...waiting].filter((table) => isReady(table, true))
    const ready =
      strictly.length > 0
        ? strictly
        : [...waiting]
            .filter((table) => isReady(table, false))

            .slice(0, 1)
    if (ready.length === 0) throw new Error(`tables refer to each other in a circle: ${[...waiting].join(', ')}`)
    for (const table of ready) {
      waiting.delete(table)
      order.push(table)
    }
  }
  return order
}

function isOptional(catalogue: Catalogue, reference: Reference): boolean {
  const columns = catalogue.columns.get(reference.table) ?? []
  if (reference.parent === 'import_batch') return false
  return reference.columns.some((name) => columns.find((column) => column.name === name)?.nullable)
}

/** A row for `table` that belongs to `world`; every reference that can be filled points inside the world. */
export function makeRow(catalogue: Catalogue, world: World, table: string): Row {
  const row: Row = {}
  for (const column of catalogue.columns.get(table) ?? []) row[column.name] = valueFor(column, world)
  for (const reference of catalogue.references.filter((r) => r.table === table)) {
    const parent = reference.parent === table ? undefined : world.rows.get(reference.parent)
    reference.columns.forEach((name, index) => {
      if (name === 'business_id') return
      row[name] = parent ? parent[reference.parentColumns[index] ?? ''] : null
    })
  }
  row[table === 'business' ? 'id' : 'business_id'] = world.businessId
  if (table === 'client') row.id = world.clientId
  if (table === 'person') row.id = world.personId
  return { ...row, ...special(table, world) }
}

/** What a check or a policy of the schema asks beyond the column's own type. */
function special(table: string, world: World): Row {
  // Of a payment, or moved by itself: never both.
  if (table === 'allocation') return { moved_on: world.rows.has('payment') ? null : '2026-03-02' }
  if (table === 'membership') return { roles: ['client'], login_id: null }
  if (table === 'audit') return { person_id: world.personId }
  if (table === 'command') return { person_id: world.personId, status: 'applied' }
  if (table === 'invoice') return { state: 'draft', number: null }
  if (table === 'invoice_line') return { credit_effect: null }
  if (table === 'charge_line' || table === 'charge_waiver') return { kind: 'visit', period: '' }
  if (table === 'photo') return { for_client: true, hidden_at: null }
  if (table === 'visit_request') return { state: 'open', visit_id: null }
  if (table === 'import_batch') return { withdrawn_at: null }
  if (table === 'part') return { service_level: 0.95 }
  if (table === 'reservoir') return { empty_at: 0 }
  if (table === 'stock_move') return { to_place_id: null }
  if (table === 'visit') return { planned_start: '2026-03-02T09:00Z', planned_end: '2026-03-02T10:00Z', minutes: 60 }
  return {}
}

function valueFor(column: Column, world: World): unknown {
  if (column.firstAllowed) return column.firstAllowed
  if (column.type === 'uuid') return newId()
  // What the program computes with must be one that there is.
  if (column.name === 'time_zone') return 'Europe/London'
  if (column.name === 'unit_code') return 'C62'
  if (column.name.endsWith('tax_parts')) return '[]'
  if (column.type === 'text') return `${column.name} of ${world.name}`
  if (column.type === 'text[]') return [world.name]
  if (column.type === 'jsonb') return '{}'
  if (column.type === 'boolean') return false
  if (column.type === 'date') return '2026-03-02'
  if (column.type.startsWith('timestamp')) return '2026-03-02T09:00Z'
  return 1
}

/** INSERT of a row, as the client's current role. */
export async function insertRow(client: pg.Client, table: string, row: Row): Promise<void> {
  const names = Object.keys(row)
  const places = names.map((_, index) => `$${index + 1}`).join(', ')
  await client.query(
    `INSERT INTO "${table}" (${names.map((name) => `"${name}"`).join(', ')}) VALUES (${places})`,
    Object.values(row),
  )
}
