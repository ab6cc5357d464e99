import { readFileSync } from 'node:fs'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { Client } from 'pg'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { firstVersionDatabase, firstVersionSample } from '../../setup/first-version'

// Held against the database of the first version, and against what its own rule of "billed" said: a source is billed while a line names
// it that no issued credit note took back to the last of its quantity.
const sample = firstVersionSample()
if (!sample) console.warn('skipped: ../shared/samples/first-version is not beside this checkout')

const BEFORE = '20261129194100_visits_ahead_and_missed'
const MIGRATION = path.join('prisma', 'migrations', '20261129230000_charges', 'migration.sql')

const TABLES = ['business', 'site', 'tank', 'agreement', 'visit', 'part_used', 'invoice', 'invoice_line']
const NEW_TABLES = ['charge_line', 'charge_waiver', 'site_payer']
/** The owner of the tables is kept to a business, too, unless it says otherwise. */
const force = (how: 'NO FORCE' | 'FORCE', tables: readonly string[]) =>
  tables.map((table) => `ALTER TABLE ${table} ${how} ROW LEVEL SECURITY;`).join(' ')

const LIVE = `SELECT line.* FROM invoice_line line JOIN invoice whole ON whole.business_id = line.business_id AND whole.id = line.invoice_id
  WHERE whole.document_type = 'invoice' AND line.credits_line_id IS NULL AND abs(line.quantity) > COALESCE((
    SELECT sum(abs(credit.quantity)) FROM invoice_line credit JOIN invoice note ON note.business_id = credit.business_id AND note.id = credit.invoice_id
    WHERE credit.business_id = line.business_id AND credit.credits_line_id = line.id AND note.state = 'issued'), 0)`

describe.skipIf(!sample)('charges of what was billed before there were charges', () => {
  let folder = ''
  let client: Client
  let known: readonly string[] = TABLES
  /** A look at all rows. */
  const seen = async <Row extends object>(text: string) => {
    await client.query(`BEGIN; ${force('NO FORCE', known)}`)
    const { rows } = await client.query<Row>(text)
    await client.query('ROLLBACK')
    return rows
  }
  const ids = async (text: string) => (await seen<{ id: string }>(text)).map(({ id }) => id).sort()
  let liveVisits: string[] = []
  let liveParts: string[] = []

  beforeAll(async () => {
    folder = await mkdtemp(path.join(tmpdir(), 'charges-migration-'))
    const { ownerUrl } = await firstVersionDatabase(path.join(folder, 'files'), BEFORE)
    client = new Client({ connectionString: ownerUrl })
    await client.connect()
    // An old credit of a whole line and one of a part, beside those the sample has.
    await client.query(`${force('NO FORCE', TABLES)}
      CREATE TEMPORARY TABLE chosen AS SELECT line.*, row_number() OVER (ORDER BY line.id) AS place
        FROM invoice_line line JOIN invoice whole ON whole.business_id = line.business_id AND whole.id = line.invoice_id
        WHERE whole.state = 'issued' AND whole.document_type = 'invoice' AND (line.visit_id IS NOT NULL OR line.agreement_id IS NOT NULL) LIMIT 6;
      ALTER TABLE invoice DISABLE TRIGGER USER; ALTER TABLE invoice_line DISABLE TRIGGER USER;
      INSERT INTO invoice (business_id, id, client_id, document_type, state, number, issued_on, currency, corrects_invoice_id, issued_at)
        SELECT business_id, gen_random_uuid(), client_id, 'credit_note', 'issued', 'X-' || place, '2026-11-20', 'GBP', invoice_id, now() FROM chosen;
      INSERT INTO invoice_line (business_id, id, client_id, invoice_id, position, description, quantity, unit, unit_price, net_minor, tax_category, tax_rate, credits_line_id)
        SELECT chosen.business_id, gen_random_uuid(), chosen.client_id, note.id, 1, 'Credit', quantity / CASE WHEN place % 2 = 0 THEN 1 ELSE 2 END, unit,
          unit_price, chosen.net_minor / CASE WHEN place % 2 = 0 THEN 1 ELSE 2 END, tax_category, tax_rate, chosen.id
        FROM chosen JOIN invoice note ON note.business_id = chosen.business_id AND note.number = 'X-' || place;
      ALTER TABLE invoice ENABLE TRIGGER USER; ALTER TABLE invoice_line ENABLE TRIGGER USER; ${force('FORCE', TABLES)}`)
    liveVisits = await ids(`SELECT DISTINCT visit_id AS id FROM (${LIVE}) live WHERE visit_id IS NOT NULL`)
    liveParts = await ids(`SELECT DISTINCT part_used_id AS id FROM (${LIVE}) live WHERE part_used_id IS NOT NULL`)
    await client.query('BEGIN')
    await client.query(readFileSync(MIGRATION, 'utf8'))
    await client.query('COMMIT')
    known = [...TABLES, ...NEW_TABLES]
  }, 300_000)

  afterAll(async () => {
    await client?.end()
    await rm(folder, { recursive: true, force: true })
  })

  test('every line has its charges, and they add up to its net', async () => {
    const rows = await seen<{ lines: number; wrong: number }>(`
      SELECT count(*)::int AS lines, count(*) FILTER (WHERE charged IS DISTINCT FROM wanted)::int AS wrong FROM (
        SELECT CASE WHEN line.credits_line_id IS NULL THEN line.net_minor ELSE -line.net_minor END AS wanted,
          (SELECT sum(net_minor) FROM charge_line c WHERE c.business_id = line.business_id AND c.line_id = line.id) AS charged
        FROM invoice_line line JOIN invoice whole ON whole.business_id = line.business_id AND whole.id = line.invoice_id
        WHERE whole.document_type = 'invoice' OR whole.state = 'issued') checked`)
    expect(rows[0]?.lines).toBeGreaterThan(100)
    expect(rows[0]?.wrong).toBe(0)
  })

  test('what was billed is settled to the penny, and what was credited whole is open: as the former rule said', async () => {
    const settled = (
      kind: string,
    ) => `SELECT subject_id AS id FROM charge_line WHERE kind = '${kind}' GROUP BY subject_id
      HAVING sum(settles_minor) = max(due_minor) AND max(due_minor) > 0`
    expect(liveVisits.length).toBeGreaterThan(2)
    expect(await ids(settled('visit'))).toEqual(liveVisits)
    expect(await ids(settled('part'))).toEqual(liveParts)
    const rows = await seen<{ months: number; twice: number }>(`
      SELECT count(*)::int AS months, count(*) FILTER (WHERE settled > due)::int AS twice FROM (
        SELECT sum(settles_minor) AS settled, max(due_minor) AS due FROM charge_line WHERE kind = 'agreement_month' GROUP BY subject_id, period) months`)
    expect(rows[0]?.months).toBeGreaterThan(50)
    expect(rows[0]?.twice).toBe(0)
    const open = await seen(`SELECT 1 FROM charge_line WHERE kind IN ('visit', 'agreement_month')
      GROUP BY kind, subject_id, period HAVING sum(settles_minor) = 0 AND max(due_minor) > 0`)
    expect(open.length).toBeGreaterThan(0)
  })

  test('waived is only what was passed over: never billed, and older than the newest month billed', async () => {
    const wrong = await seen(`SELECT 1 FROM charge_waiver waiver WHERE EXISTS (SELECT 1 FROM charge_line line
        WHERE line.business_id = waiver.business_id AND line.kind = waiver.kind AND line.subject_id = waiver.subject_id AND line.period = waiver.period)
      OR waiver.period >= (SELECT max(period) FROM charge_line line WHERE line.business_id = waiver.business_id AND line.kind = 'agreement_month')`)
    expect(wrong).toEqual([])
  })

  test('each site’s payer is written down, and row-level security is forced again', async () => {
    const rows = await seen<{ sites: number; written: number }>(
      `SELECT count(*)::int AS sites, (SELECT count(*)::int FROM site_payer) AS written FROM site`,
    )
    expect(rows[0]?.written).toBe(rows[0]?.sites)
    expect(rows[0]?.sites).toBeGreaterThan(10)
    const open = await client.query(`SELECT relname FROM pg_class JOIN pg_namespace n ON n.oid = relnamespace
      WHERE nspname = 'public' AND relname IN ('business', 'site', 'tank', 'agreement', 'visit', 'part_used', 'invoice', 'invoice_line', 'charge_line', 'charge_waiver', 'site_payer')
        AND NOT relforcerowsecurity`)
    expect(open.rows).toEqual([])
  })
})
