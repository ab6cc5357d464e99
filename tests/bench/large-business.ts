/**
 * A large invented business for benchmarks: visits every two weeks, seven or eight looks a visit, needs that come by Weibull
 * lives and are renewed at the visit that finds them. Made by SQL from a fixed seed, in the order in which a real business would
 * have written it (visit after visit), so that the rows of one device lie far apart on the disk, as they do in real life.
 */
import { Client } from 'pg'
import { newId } from '@/lib/new-id'
import { findMode, weibullOf } from '@/lib/trade'

export type LargeBusiness = { businessId: string; tanks: number; visits: number; looks: number; lanes: number }

/** What stands in every tank; `share` of the tanks for the last one. */
const LOOKED_AT = [
  ['protein-skimmer/rotor-film', 1],
  ['protein-skimmer/air-line-restricted', 1],
  ['protein-skimmer/wheel-clogged', 1],
  ['return-pump/strainer-blocked', 1],
  ['return-pump/rotor-scale', 1],
  ['heater/reads-off', 1],
  ['uv-steriliser/sleeve-coated', 1],
  ['circulation-pump/rotor-coralline', 0.5],
] as const

const TANKS_PER_SITE = 4
const VISIT_EVERY_DAYS = 14
const FIRST_DAY = '2021-01-04'
const LARGE_TABLES = ['visit', 'finding', 'renewal']
const FILLED_TABLES = [
  ...LARGE_TABLES,
  'business',
  'client',
  'site',
  'tank',
  'tank_client',
  'agreement',
  'slot',
  'equipment',
]
const NEEDED_TWICE_AS_OFTEN = 0.03

/** Writes the business as the owner of the database. Errors: those of Postgres, for example a full disk. */
export async function writeLargeBusiness(
  ownerUrl: string,
  tanks: number,
  visitsPerTank: number,
): Promise<LargeBusiness> {
  const client = new Client({ connectionString: ownerUrl })
  await client.connect()
  try {
    const businessId = newId()
    const run = async (text: string, values: unknown[] = []) => (await client.query(text, values)).rowCount ?? 0
    await run(`select set_config('app.business_id', $1, false), set_config('work_mem', '256MB', false)`, [businessId])
    await run(`select set_config('maintenance_work_mem', '512MB', false)`)
    // Row policies hold the owner too; these tables are filled by nobody else, and forced again below.
    const restore = await takeAwayChecks(client)
    await writeRegister(run, businessId, tanks)
    await run(
      `create temp table looked_at as select * from unnest($1::text[], $2::text[], $3::float8[], $4::float8[], $5::float8[])
         t (equipment_class, failure_mode, share, shape, scale_days)`,
      lookedAt(),
    )
    await writeDevices(run, businessId)
    const visits = await writeVisits(run, businessId, visitsPerTank)
    const lanes = await writeNeeds(run, visitsPerTank)
    const looks = await writeLooks(run, businessId)
    await restore()
    await run(`vacuum (analyze) ${FILLED_TABLES.join(', ')}`)
    return { businessId, tanks, visits, looks, lanes }
  } finally {
    await client.end()
  }
}

type Run = (text: string, values?: unknown[]) => Promise<number>

function lookedAt(): unknown[] {
  const rows = LOOKED_AT.map(([slug, share]) => {
    const mode = findMode(slug)
    if (!mode) throw new Error(`the catalogue has no ${slug}`)
    return { equipmentClass: mode.equipmentClass, slug, share, ...weibullOf(mode) }
  })
  return [
    rows.map((row) => row.equipmentClass),
    rows.map((row) => row.slug),
    rows.map((row) => row.share),
    rows.map((row) => row.shape),
    rows.map((row) => row.scaleDays),
  ]
}

/** Millions of rows are written without their foreign keys, policies and indexes, which come back before anything is measured. */
async function takeAwayChecks(client: Client): Promise<() => Promise<void>> {
  const { rows: keys } = await client.query<{ table: string; name: string; definition: string }>(
    `select conrelid::regclass::text as table, conname as name, pg_get_constraintdef(oid) as definition
     from pg_constraint where contype = 'f' and conrelid = any($1::regclass[]) order by conname`,
    [LARGE_TABLES],
  )
  const { rows: indexes } = await client.query<{ name: string; definition: string }>(
    `select indexrelid::regclass::text as name, pg_get_indexdef(indexrelid) as definition from pg_index
     where indrelid = any($1::regclass[]) and not exists (select 1 from pg_constraint where conindid = indexrelid)`,
    [LARGE_TABLES],
  )
  for (const { table, name } of keys) await client.query(`alter table ${table} drop constraint "${name}"`)
  for (const { name } of indexes) await client.query(`drop index ${name}`)
  for (const table of FILLED_TABLES) await client.query(`alter table ${table} no force row level security`)
  return async () => {
    for (const { definition } of indexes) await client.query(definition)
    for (const { table, name, definition } of keys)
      await client.query(`alter table ${table} add constraint "${name}" ${definition} not valid`)
    for (const table of FILLED_TABLES) await client.query(`alter table ${table} force row level security`)
  }
}

async function writeRegister(run: Run, businessId: string, tanks: number): Promise<void> {
  const sites = Math.ceil(tanks / TANKS_PER_SITE)
  await run(`insert into business (id, name) values ($1, 'Large business')`, [businessId])
  await run(
    `insert into client (business_id, id, name) select $1, ${idAt('n', "'client'")}, 'Client ' || n from generate_series(1, $2::int) n`,
    [businessId, sites],
  )
  await run(
    `insert into site (business_id, id, client_id, name)
     select $1, ${idAt('n', "'site'")}, ${idAt('n', "'client'")}, 'Site ' || n from generate_series(1, $2::int) n`,
    [businessId, sites],
  )
  await run(
    `insert into tank (business_id, id, client_id, site_id, name, profile, volume_l)
     select $1, ${idAt('n', "'tank'")}, ${idAt(`(n - 1) / ${TANKS_PER_SITE} + 1`, "'client'")},
       ${idAt(`(n - 1) / ${TANKS_PER_SITE} + 1`, "'site'")}, 'Tank ' || n, 'reef', 100 + n % 900 from generate_series(1, $2::int) n`,
    [businessId, tanks],
  )
  await run(
    `insert into tank_client (business_id, id, client_id, tank_id, since)
     select business_id, gen_random_uuid(), client_id, id, $1::date from tank`,
    [FIRST_DAY],
  )
  await run(
    `insert into agreement (business_id, id, client_id, tank_id, every_days, anchor_on, starts_on)
     select business_id, gen_random_uuid(), client_id, id, ${VISIT_EVERY_DAYS}, $1::date, $1::date from tank`,
    [FIRST_DAY],
  )
}

async function writeDevices(run: Run, businessId: string): Promise<void> {
  await run(
    `insert into slot (business_id, id, tank_id, equipment_class, label)
     select tank.business_id, gen_random_uuid(), tank.id, classes.equipment_class, classes.equipment_class
     from tank join (select equipment_class, max(share) as share from looked_at group by equipment_class) classes
       on ${chance("tank.id::text || classes.equipment_class || 'has'")} <= classes.share
     where tank.business_id = $1 order by tank.id, classes.equipment_class`,
    [businessId],
  )
  await run(
    `insert into equipment (business_id, id, tank_id, slot_id, equipment_class, label)
     select business_id, gen_random_uuid(), tank_id, id, equipment_class, label from slot where business_id = $1 order by tank_id, id`,
    [businessId],
  )
  await run(
    `create temp table lanes as select slot.tank_id, slot.id as slot_id, equipment.id as equipment_id, slot.equipment_class, failure_mode, shape,
       scale_days * case when ${chance("slot.tank_id::text || 'bad'")} < ${NEEDED_TWICE_AS_OFTEN} then 0.5 else 1 end as scale_days
     from slot join equipment on equipment.slot_id = slot.id join looked_at on looked_at.equipment_class = slot.equipment_class`,
  )
}

async function writeVisits(run: Run, businessId: string, visitsPerTank: number): Promise<number> {
  const made = await run(
    `insert into visit (business_id, id, client_id, tank_id, site_id, kind, state, local_date, time_zone, outcome, minutes)
     select tank.business_id, ${idAt('n', 'tank.id::text')}, client_id, tank.id, site_id, 'routine', 'done',
       $1::date + n * ${VISIT_EVERY_DAYS} + ${dayOfTank('tank.id')}, 'Europe/London', 'done', 40
     from generate_series(1, $2::int) n, tank where tank.business_id = $3 order by n, ${dayOfTank('tank.id')}, tank.id`,
    [FIRST_DAY, visitsPerTank, businessId],
  )
  return made
}

/** Which visits find a need: lives by the inverse of the Weibull distribution, each starting at the visit that ended the last. */
async function writeNeeds(run: Run, visitsPerTank: number): Promise<number> {
  await run(
    `create temp table needs as select equipment_id, failure_mode, sum(visits_lived) over (partition by equipment_id, failure_mode order by life) as visit
     from (select equipment_id, failure_mode, life,
         greatest(1, ceil(scale_days * power(-ln(${chance('equipment_id::text || failure_mode || life')}), 1 / shape) / ${VISIT_EVERY_DAYS})) as visits_lived
       from lanes, generate_series(1, least($1::int, 10 + (4 * $1::int * ${VISIT_EVERY_DAYS} / scale_days)::int)) life) lived`,
    [visitsPerTank],
  )
  await run('delete from needs where visit > $1', [visitsPerTank])
  await run('analyze needs')
  return run('select 1 from lanes')
}

async function writeLooks(run: Run, businessId: string): Promise<number> {
  const looks = await run(
    `insert into finding (business_id, id, client_id, tank_id, visit_id, slot_id, equipment_id, equipment_class, failure_mode, as_found,
       depth, found_on, made_at, as_left)
     select $1, ${idOf('local_date', 'row_number() over ()')}, client_id, tank_id, visit_id, slot_id, equipment_id, equipment_class,
       failure_mode, as_found, 'measured', local_date, local_date + time '10:00', 'ok'
     from (
       select visit.local_date, visit.client_id, visit.id as visit_id, lanes.tank_id, lanes.slot_id, lanes.equipment_id,
         lanes.equipment_class, lanes.failure_mode, case when needs.visit is null then 'ok' else 'needs_it' end as as_found
       from visit join lanes on lanes.tank_id = visit.tank_id
       left join needs on needs.equipment_id = lanes.equipment_id and needs.failure_mode = lanes.failure_mode
         and needs.visit = (visit.local_date - $2::date) / ${VISIT_EVERY_DAYS}
       where visit.business_id = $1 order by visit.local_date, visit.id
     ) looked`,
    [businessId, FIRST_DAY],
  )
  await run(
    `insert into renewal (business_id, id, tank_id, visit_id, slot_id, equipment_id, failure_mode, reason, renewed_on, made_at)
     select business_id, ${idOf('found_on', 'row_number() over ()')}, tank_id, visit_id, slot_id, equipment_id, failure_mode, 'found',
       found_on, made_at + interval '10 minutes'
     from (select * from finding where business_id = $1 and as_found = 'needs_it' order by found_on, visit_id) found`,
    [businessId],
  )
  return looks
}

/** The same pseudo-random number for the same text, above 0 and below 1, whatever order Postgres works in. */
function chance(text: string): string {
  return `((hashtextextended(${text}, 11) & 4294967295) + 0.5) / 4294967296.0::float8`
}

const dayOfTank = (tankId: string) => `(hashtext(${tankId}::text) & 4) / 4 * 7 + (hashtext(${tankId}::text) & 3)`

/** A uuid that is the same for the same number and words. */
const idAt = (number: string, words: string) => `md5(${words} || ':' || (${number}))::uuid`

/** A uuid that begins with the time, as ours do (UUIDv7), so that an index of them grows at its end. */
const idOf = (date: string, number: string) =>
  `(lpad(to_hex((${date} - date '1970-01-01')::bigint * 86400000), 12, '0') || '70008' || lpad(to_hex(${number}), 15, '0'))::uuid`
