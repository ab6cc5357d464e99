import pg from 'pg'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { testDatabase } from '../../setup/database'
import { type Catalogue, inOrder, insertRow, makeRow, readCatalogue, type World } from './world'

// Not business tables: each has its own grants test below.
const EXCEPTIONS = ['_prisma_migrations']
// What a client may read at all; everything else must answer "permission denied".
const CLIENT_READS = [
  'allocation', 'business', 'client', 'command', 'finding', 'import_batch', 'invoice', 'invoice_line', 'payment', 'person', 'photo',
  'reading', 'site', 'tank', 'tank_client', 'visit', 'visit_request', 'water_change',
] as const // biome-ignore format: a list to read at a glance
const CLIENT_WRITES = ['command', 'visit_request']

let owner: pg.Client
let app: pg.Client
let identity: pg.Client
let catalogue: Catalogue
let a1: World
let a2: World
let b1: World

function worldOf(name: string, businessId: string): World {
  return { name, businessId, clientId: newId(), personId: newId(), rows: new Map() }
}

type Who = { role: string; businessId?: string; personId?: string; clientId?: string }

/** Runs `work` as somebody and rolls back, so that every try starts from the same rows. */
async function as<T>(
  who: Who,
  work: (client: pg.Client) => Promise<T>,
  end: 'COMMIT' | 'ROLLBACK' = 'ROLLBACK',
): Promise<T> {
  const client = who.role === 'tankround_identity' ? identity : app
  await client.query('BEGIN')
  try {
    await client.query(
      `SELECT set_config('role', $1, true), set_config('app.business_id', $2, true), set_config('app.user_id', $3, true),
        set_config('app.client_id', $4, true)`,
      [who.role, who.businessId ?? '', who.personId ?? '', who.clientId ?? ''],
    )
    const answer = await work(client)
    await client.query(end)
    return answer
  } catch (error) {
    await client.query('ROLLBACK')
    throw error
  }
}

const office = (world: World): Who => ({
  role: 'tankround_office',
  businessId: world.businessId,
  personId: world.personId,
})
const client = (world: World): Who => ({ ...office(world), role: 'tankround_client', clientId: world.clientId })
const keyOf = (table: string) => (table === 'business' ? 'id' : 'business_id')

/** Rows changed, or 'denied' where the role has no such right at all. */
async function changed(sql: string, values: unknown[] = []): Promise<number | 'denied'> {
  await app.query('SAVEPOINT try')
  try {
    return (await app.query(sql, values)).rowCount ?? 0
  } catch (error) {
    await app.query('ROLLBACK TO SAVEPOINT try')
    // 42501: no grant, or a row policy's WITH CHECK; 23001: append-only or issued.
    if (error instanceof pg.DatabaseError && (error.code === '42501' || error.code === '23001')) return 'denied'
    throw error
  }
}

beforeAll(async () => {
  const urls = await testDatabase()
  owner = new pg.Client({ connectionString: urls.ownerUrl })
  app = new pg.Client({ connectionString: urls.appUrl })
  identity = new pg.Client({ connectionString: urls.identityUrl })
  await owner.connect()
  await app.connect()
  await identity.connect()
  catalogue = await readCatalogue(owner)
  const [businessA, businessB] = [newId(), newId()]
  a1 = worldOf('A1', businessA)
  a2 = worldOf('A2', businessA)
  b1 = worldOf('B1', businessB)
  for (const world of [a1, a2, b1]) {
    await as(
      office(world),
      async () => {
        for (const table of inOrder(catalogue)) {
          if (table === 'business' && world === a2) continue
          const row = makeRow(catalogue, world, table)
          world.rows.set(table, row)
          await insertRow(app, table, row)
        }
        const invoice = world.rows.get('invoice')
        await app.query(`UPDATE invoice SET state = 'issued', number = $1 WHERE id = $2`, [world.name, invoice?.id])
      },
      'COMMIT',
    )
  }
})

afterAll(async () => {
  await owner?.end()
  await app?.end()
  await identity?.end()
})

describe('who the app is', () => {
  test('the login is neither superuser nor BYPASSRLS and owns nothing; each role it takes likewise', async () => {
    for (const role of ['tankround_office', 'tankround_client', 'tankround_identity', 'tankround_jobs']) {
      await as({ role }, async (client) => {
        const { rows } = await client.query(
          `SELECT current_user::text AS name, rolsuper, rolbypassrls,
             EXISTS (SELECT 1 FROM pg_class WHERE relowner = pg_roles.oid) AS owns,
             (SELECT rolsuper OR rolbypassrls FROM pg_roles l WHERE l.rolname = session_user) AS login_is_powerful
           FROM pg_roles WHERE rolname = current_user`,
        )
        expect(rows).toEqual([
          { name: role, rolsuper: false, rolbypassrls: false, owns: false, login_is_powerful: false },
        ])
      })
    }
  })

  test('either login by itself, with no role taken, reads no table', async () => {
    for (const login of [app, identity])
      for (const table of [...catalogue.tables.map((name) => `public."${name}"`), 'identity.login', 'identity.session'])
        await expect(login.query(`SELECT * FROM ${table}`)).rejects.toThrow(/permission denied/)
  })

  test('what reads business rows cannot become what reads password hashes, nor the other way round', async () => {
    const become = async (login: pg.Client, role: string) => {
      await expect(login.query(`SELECT set_config('role', $1, true)`, [role])).rejects.toThrow(/permission denied/)
      await expect(login.query(`SET ROLE ${role}`)).rejects.toThrow(/permission denied/)
      await expect(login.query(`SET SESSION AUTHORIZATION ${role}`)).rejects.toThrow(/permission denied/)
    }
    await become(app, 'tankround_identity')
    for (const role of ['tankround_office', 'tankround_client', 'tankround_jobs']) await become(identity, role)
    // A role once taken is not a way on either: only the login's own memberships count.
    await as(office(a1), async () => {
      expect(await changed(`SET LOCAL ROLE tankround_identity`)).toBe('denied')
    })
  })

  test('every table has row security enabled and forced, and at least one policy; views run as their caller', async () => {
    const { rows } = await owner.query(
      `SELECT relname FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace WHERE nspname = 'public' AND
       ((relkind IN ('r', 'p') AND NOT (relrowsecurity AND relforcerowsecurity AND EXISTS (SELECT 1 FROM pg_policy WHERE polrelid = c.oid)))
        OR (relkind = 'v' AND NOT coalesce(reloptions @> ARRAY['security_invoker=true'], false)) OR relkind = 'm')`,
    )
    expect(rows.map((row) => row.relname).filter((name) => !EXCEPTIONS.includes(name))).toEqual([])
  })

  test('every foreign key between business tables carries the business', () => {
    const loose = catalogue.references.filter((r) => r.parent !== 'business' && !r.columns.includes('business_id'))
    expect(loose).toEqual([])
    expect(catalogue.references.length).toBeGreaterThan(80)
  })
})

describe('office role', () => {
  test('a query without any filter returns every row of its business and nothing foreign, for every table', async () => {
    for (const table of catalogue.tables) {
      for (const world of [a1, b1]) {
        await as(office(world), async () => {
          const { rows } = await app.query(`SELECT * FROM "${table}"`)
          const expected = [a1, a2, b1].filter((w) => w.businessId === world.businessId && w.rows.has(table)).length
          expect([table, rows.length, rows.every((row) => row[keyOf(table)] === world.businessId)]).toEqual([
            table,
            expected,
            true,
          ])
        })
      }
    }
  })

  test('with no business set, nothing is there and nothing can be written', async () => {
    for (const table of catalogue.tables) {
      await as({ role: 'tankround_office' }, async () => {
        expect([table, (await app.query(`SELECT * FROM "${table}"`)).rows]).toEqual([table, []])
        expect([table, await changed(`DELETE FROM "${table}"`)]).toSatisfy(([, n]) => n === 0 || n === 'denied')
      })
      await as({ role: 'tankround_office' }, async () => {
        await expect(insertRow(app, table, makeRow(catalogue, { ...b1, name: 'C' }, table)), table).rejects.toThrow(
          /row-level security/,
        )
      })
    }
  })

  test('nothing can be inserted for, updated in, moved to or deleted from another business', async () => {
    for (const table of catalogue.tables) {
      const key = keyOf(table)
      await as(office(b1), async () => {
        await app.query('SAVEPOINT foreign_row')
        await expect(insertRow(app, table, makeRow(catalogue, a1, table)), table).rejects.toThrow(/row-level security/)
        await app.query('ROLLBACK TO SAVEPOINT foreign_row')
        const toAll = await changed(`UPDATE "${table}" SET "${key}" = "${key}" WHERE "${key}" = $1`, [a1.businessId])
        expect([table, toAll]).toSatisfy(([, n]) => n === 0 || n === 'denied')
        const moved = await changed(`UPDATE "${table}" SET "${key}" = $1`, [a1.businessId]).catch((error: unknown) =>
          String(error),
        )
        expect([table, moved]).toSatisfy(([, n]) => n === 'denied' || /foreign key/.test(String(n)))
        const gone = await changed(`DELETE FROM "${table}" WHERE "${key}" = $1`, [a1.businessId])
        expect([table, gone]).toSatisfy(([, n]) => n === 0 || n === 'denied')
      })
    }
  })

  test('a row of ours cannot refer to a row of another business', async () => {
    for (const reference of catalogue.references.filter((r) => r.parent !== 'business')) {
      const row = makeRow(catalogue, b1, reference.table)
      reference.columns.forEach((name, index) => {
        if (name !== 'business_id') row[name] = a1.rows.get(reference.parent)?.[reference.parentColumns[index] ?? '']
      })
      await as(office(b1), async () => {
        await expect(insertRow(app, reference.table, row), `${reference.table} → ${reference.parent}`).rejects.toThrow()
      })
    }
  })

  test('what happened cannot be changed or deleted, not even by the owner of the tables', async () => {
    const { rows } = await owner.query<{ relname: string }>(
      `SELECT relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid
        WHERE tgname = relname || '_append_only' AND relnamespace = 'public'::regnamespace ORDER BY 1`,
    )
    expect(rows.map((row) => row.relname)).toEqual(
      expect.arrayContaining([
        'audit',
        'command',
        'finding',
        'part_used',
        'payment',
        'reading',
        'renewal',
        'visit_event',
      ]),
    )
    for (const { relname } of rows) {
      await as(office(a1), async () => {
        expect([relname, await changed(`UPDATE "${relname}" SET business_id = business_id`)]).toEqual([
          relname,
          'denied',
        ])
        expect([relname, await changed(`DELETE FROM "${relname}"`)]).toEqual([relname, 'denied'])
      })
    }
  })
})

describe('client role', () => {
  test('reads only the tables meant for clients, and there only its own rows', async () => {
    for (const table of catalogue.tables) {
      await as(client(a1), async () => {
        const columns = table === 'import_batch' ? 'business_id, id' : '*'
        if (!CLIENT_READS.some((name) => name === table)) {
          await expect(app.query(`SELECT ${columns} FROM "${table}"`), table).rejects.toThrow(/permission denied/)
          return
        }
        const { rows } = await app.query(`SELECT ${columns} FROM "${table}"`)
        expect([table, rows.every((row) => row[keyOf(table)] === a1.businessId)]).toEqual([table, true])
        if (table === 'import_batch') return // ids only, to hide what was taken back
        const own = a1.rows.get(table)
        expect([table, rows.map((row) => row.id)]).toEqual([table, [own?.id]])
      })
    }
  })

  test('another client of the same business, or no client at all, sees none of these rows', async () => {
    for (const table of CLIENT_READS.filter((name) => name !== 'business' && name !== 'import_batch')) {
      await as(client(a2), async () => {
        const { rows } = await app.query(`SELECT id FROM "${table}" WHERE id = $1`, [a1.rows.get(table)?.id])
        expect([table, rows]).toEqual([table, []])
      })
      await as({ ...office(a1), personId: newId(), role: 'tankround_client' }, async () => {
        expect([table, (await app.query(`SELECT id FROM "${table}"`)).rows]).toEqual([table, []])
      })
      await as({ ...client(a1), businessId: b1.businessId, personId: newId() }, async () => {
        expect([table, (await app.query(`SELECT id FROM "${table}"`)).rows]).toEqual([table, []])
      })
    }
  })

  test('writes nothing but its own requests and commands', async () => {
    for (const table of catalogue.tables) {
      await as(client(a1), async () => {
        const key = keyOf(table)
        for (const world of [a2, b1]) {
          await app.query('SAVEPOINT foreign_row')
          const row = makeRow(catalogue, world, table)
          await expect(insertRow(app, table, row), table).rejects.toThrow(/permission denied|row-level security/)
          await app.query('ROLLBACK TO SAVEPOINT foreign_row')
        }
        if (!CLIENT_WRITES.includes(table)) {
          await app.query('SAVEPOINT own_row')
          await expect(insertRow(app, table, makeRow(catalogue, a1, table)), table).rejects.toThrow(/permission denied/)
          await app.query('ROLLBACK TO SAVEPOINT own_row')
        }
        const updated = await changed(`UPDATE "${table}" SET "${key}" = "${key}" WHERE "${key}" IS NOT NULL`)
        expect([table, updated]).toEqual([table, 'denied'])
        if (table === 'command') expect(await changed(`UPDATE command SET result = '{}' WHERE true`)).toBe(1)
        expect([table, await changed(`DELETE FROM "${table}"`)]).toEqual([table, 'denied'])
      })
    }
  })

  test('can ask for a visit to its own tank, and not to a tank it never had', async () => {
    await as(client(a1), async () => {
      await insertRow(app, 'visit_request', makeRow(catalogue, a1, 'visit_request'))
      const strange = { ...makeRow(catalogue, a1, 'visit_request'), tank_id: a2.rows.get('tank')?.id }
      await expect(insertRow(app, 'visit_request', strange)).rejects.toThrow(/foreign key/)
    })
  })
})

describe('the other roles', () => {
  test('identity sees logins and, across businesses, only what signing in needs', async () => {
    for (const table of catalogue.tables) {
      await as({ role: 'tankround_identity' }, async (client) => {
        const allowed = ['membership', 'business', 'person'].includes(table)
        const counted = client.query(`SELECT count(*)::int AS n FROM "${table}"`)
        if (allowed) expect((await counted).rows[0].n).toBeGreaterThanOrEqual(2)
        else await expect(counted, table).rejects.toThrow(/permission denied/)
      })
    }
    await as({ role: 'tankround_identity' }, async (client) => {
      await expect(client.query('SELECT iban FROM business')).rejects.toThrow(/permission denied/)
    })
    const { rows } = await owner.query<{ name: string }>(
      `SELECT relname AS name FROM pg_class WHERE relnamespace = 'identity'::regnamespace AND relkind = 'r'`,
    )
    expect(rows.map(({ name }) => name)).toEqual(expect.arrayContaining(['login', 'session', 'entry_event']))
    for (const { name } of rows.filter((row) => row.name !== 'backup_run')) // Today says how old the last backup is
      for (const who of [office(a1), client(a1)])
        await as(who, () =>
          expect(app.query(`SELECT * FROM identity.${name}`), name).rejects.toThrow(/permission denied/),
        )
  })

  test('the jobs role reads no business table; the client role has nothing in the job queue', async () => {
    for (const table of catalogue.tables) {
      await as({ role: 'tankround_jobs' }, async () => {
        await expect(app.query(`SELECT * FROM public."${table}"`), table).rejects.toThrow(
          /permission denied|does not exist/,
        )
      })
    }
    const { rows } = await owner.query(
      `SELECT count(*)::int AS n FROM information_schema.role_table_grants WHERE table_schema = 'pgboss' AND grantee = 'tankround_client'`,
    )
    expect(rows[0].n).toBe(0)
  })
})

describe('an import that was taken back', () => {
  test('hides its rows in every table that carries a batch, for office and client', async () => {
    const carrying = catalogue.tables.filter((t) => catalogue.columns.get(t)?.some((c) => c.name === 'import_batch_id'))
    expect(carrying.length).toBeGreaterThan(10)
    await as(office(a2), async () => {
      await app.query('UPDATE import_batch SET withdrawn_at = now() WHERE id = $1', [a2.rows.get('import_batch')?.id])
      for (const table of carrying) {
        const { rows } = await app.query(`SELECT import_batch_id FROM "${table}"`)
        expect([table, rows.length]).toEqual([table, 1])
        expect(rows[0].import_batch_id).toBe(a1.rows.get('import_batch')?.id)
      }
      await app.query(`SELECT set_config('role', 'tankround_client', true), set_config('app.client_id', $1, true)`, [
        a2.clientId,
      ])
      for (const table of carrying.filter((name) => CLIENT_READS.some((read) => read === name))) {
        expect([table, (await app.query(`SELECT * FROM "${table}"`)).rows]).toEqual([table, []])
      }
    })
  })
})

describe('the trace of who did what', () => {
  test('an audit row is written under one’s own name, in one’s own business, or not at all', async () => {
    await as(office(a1), async () => {
      const row = { ...makeRow(catalogue, a1, 'audit'), person_id: a1.personId }
      await insertRow(app, 'audit', row)
      for (const person of [a2.personId, b1.personId, null]) {
        await app.query('SAVEPOINT forged')
        const forged = { ...makeRow(catalogue, a1, 'audit'), person_id: person }
        await expect(insertRow(app, 'audit', forged), String(person)).rejects.toThrow(/row-level security/)
        await app.query('ROLLBACK TO SAVEPOINT forged')
      }
    })
  })

  test('what happened at the door is not changed or deleted by the role that writes it', async () => {
    await as({ role: 'tankround_identity' }, async (client) => {
      await client.query(`INSERT INTO identity.entry_event (id, kind) VALUES ($1, 'refused')`, [newId()])
      for (const sql of [`UPDATE identity.entry_event SET kind = 'signed-in'`, 'DELETE FROM identity.entry_event']) {
        await client.query('SAVEPOINT try')
        await expect(client.query(sql)).rejects.toThrow(/permission denied/)
        await client.query('ROLLBACK TO SAVEPOINT try')
      }
    })
  })
})
