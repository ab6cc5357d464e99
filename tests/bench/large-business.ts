/**
 * A large invented business for benchmarks: visits every two weeks, seven or eight looks a visit, needs that come by Weibull
 * lives and are renewed at the visit that finds them. Made by SQL from a fixed seed, in the order in which a real business would
 * have written it (visit after visit), so that the rows of one device lie far apart on the disk, as they do in real life.
 */
import { Client } from 'pg'
import { newId } from '@/lib/new-id'
import { findMode, tasksRenewing, weibullOf } from '@/lib/trade'

export type LargeBusiness = { businessId: string; tanks: number; visits: number; looks: number; lanes: number }

/** What stands in every tank; `share` of the tanks for the last one. */
const LOOKED_AT = [
  ['protein-skimmer/impeller-film', 1],
  ['protein-skimmer/air-line-restricted', 1],
  ['protein-skimmer/wheel-clogged', 1],
  ['return-pump/strainer-blocked', 1],
  ['return-pump/impeller-scale', 1],
  ['heater/reads-off', 1],
  ['uv-steriliser/sleeve-coated', 1],
  ['circulation-pump/impeller-coralline', 0.5],
] as const

const TANKS_PER_SITE = 4
export const VISIT_EVERY_DAYS = 14
export const VISIT_MINUTES = 20
const FIRST_DAY = '2021-01-04'
const LARGE_TABLES = [
  ...['visit', 'finding', 'renewal', 'reading', 'visit_event', 'invoice', 'invoice_line', 'payment', 'part_used'],
  ...['stock_move', 'reservoir_level'],
]
const NEEDED_TWICE_AS_OFTEN = 0.03

export type LargeBusinessPlan = {
  tanks: number
  visitsPerTank: number
  /** The Monday on which it begins, `2021-01-04`. */
  firstDay?: string
  /** So many drive the round, each to as many sites as the others; none: nobody is named. */
  technicians?: number
  /** Writes what else a business has, in the same session, while the checks are away. */
  writeMore?: (client: Client, businessId: string) => Promise<void>
}

/** Writes the business as the owner of the database. Errors: those of Postgres, for example a full disk. */
export async function writeLargeBusiness(
  ownerUrl: string,
  { tanks, visitsPerTank, firstDay = FIRST_DAY, technicians = 0, writeMore }: LargeBusinessPlan,
): Promise<LargeBusiness> {
  const client = new Client({ connectionString: ownerUrl })
  await client.connect()
  try {
    const businessId = newId()
    const run = async (text: string, values: unknown[] = []) => (await client.query(text, values)).rowCount ?? 0
    await run(`select set_config('app.business_id', $1, false), set_config('work_mem', '256MB', false)`, [businessId])
    await run(`select set_config('maintenance_work_mem', '512MB', false)`)
    await run(BENCH_ID)
    // Row policies hold the owner too; these tables are filled by nobody else, and forced again below.
    const restore = await takeAwayChecks(client)
    await writeRegister(run, businessId, { tanks, firstDay, technicians })
    await run(
      `create temp table looked_at as select * from unnest($1::text[], $2::text[], $3::float8[], $4::float8[], $5::float8[], $6::text[])
         t (equipment_class, failure_mode, share, shape, scale_days, care_task)`,
      lookedAt(),
    )
    await writeDevices(run, businessId)
    const visits = await writeVisits(run, businessId, visitsPerTank, firstDay)
    const lanes = await writeNeeds(run, visitsPerTank)
    const looks = await writeLooks(run, businessId, firstDay)
    await writeMore?.(client, businessId)
    await restore()
    await run('vacuum (analyze)')
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
    const careTask = tasksRenewing(slug)[0]?.slug ?? ''
    return { equipmentClass: mode.equipmentClass, slug, share, careTask, ...weibullOf(mode) }
  })
  return [
    rows.map((row) => row.equipmentClass),
    rows.map((row) => row.slug),
    rows.map((row) => row.share),
    rows.map((row) => row.shape),
    rows.map((row) => row.scaleDays),
    rows.map((row) => row.careTask),
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
  const { rows: forced } = await client.query<{ name: string }>(
    'select oid::regclass::text as name from pg_class where relforcerowsecurity order by oid',
  )
  for (const { name } of forced) await client.query(`alter table ${name} no force row level security`)
  return async () => {
    for (const { definition } of indexes) await client.query(definition)
    for (const { table, name, definition } of keys)
      await client.query(`alter table ${table} add constraint "${name}" ${definition} not valid`)
    for (const { name } of forced) await client.query(`alter table ${name} force row level security`)
  }
}

type RegisterPlan = Required<Pick<LargeBusinessPlan, 'tanks' | 'firstDay' | 'technicians'>>

async function writeRegister(
  run: Run,
  businessId: string,
  { tanks, firstDay, technicians }: RegisterPlan,
): Promise<void> {
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
  // Two weeks of ten working days: all tanks of a site on one of them, one after the other by the same person.
  await run(
    `create temp table round as select *, row_number() over (partition by day, technician_id order by number) - 1 as place
     from (select n as number, ${idAt('n', "'tank'")} as tank_id, site,
         ${idAt('site', "'client'")} as client_id, ${idAt('site', "'site'")} as site_id, (site % 10) / 5 * 7 + site % 5 as day,
         case when $2::int > 0 then ${idAt('site / 10 % greatest(1, $2::int) + 1', "'person'")} end as technician_id
       from (select n, (n - 1) / ${TANKS_PER_SITE} + 1 as site from generate_series(1, $1::int) n) numbered) placed`,
    [tanks, technicians],
  )
  await run('analyze round')
  await run(
    `insert into tank (business_id, id, client_id, site_id, name, profile, volume_l)
     select $1, tank_id, client_id, site_id, 'Tank ' || number, 'reef', 100 + number % 900 from round`,
    [businessId],
  )
  await run(
    `insert into tank_client (business_id, id, client_id, tank_id, since)
     select business_id, ${idOf('$1::date', "'held' || id")}, client_id, id, $1::date from tank where business_id = $2`,
    [firstDay, businessId],
  )
  await run(
    `insert into agreement (business_id, id, client_id, tank_id, every_days, anchor_on, starts_on)
     select business_id, ${idOf('$1::date', "'agreement' || id")}, tank.client_id, id, ${VISIT_EVERY_DAYS}, $1::date + round.day, $1::date
     from tank join round on round.tank_id = tank.id where business_id = $2`,
    [firstDay, businessId],
  )
}

async function writeDevices(run: Run, businessId: string): Promise<void> {
  await run(
    `insert into slot (business_id, id, tank_id, equipment_class, label)
     select tank.business_id, ${idOf("date '2021-01-01'", "'slot' || tank.id || classes.equipment_class")}, tank.id, classes.equipment_class,
       classes.equipment_class
     from tank join (select equipment_class, max(share) as share from looked_at group by equipment_class) classes
       on ${chance("tank.id::text || classes.equipment_class || 'has'")} <= classes.share
     where tank.business_id = $1 order by tank.id, classes.equipment_class`,
    [businessId],
  )
  await run(
    `insert into equipment (business_id, id, tank_id, slot_id, equipment_class, label)
     select business_id, ${idOf("date '2021-01-01'", "'device' || id")}, tank_id, id, equipment_class, label from slot
     where business_id = $1 order by tank_id, id`,
    [businessId],
  )
  await run(
    `create temp table lanes as select slot.tank_id, slot.id as slot_id, equipment.id as equipment_id, slot.equipment_class, failure_mode, care_task, shape,
       scale_days * case when ${chance("slot.tank_id::text || 'bad'")} < ${NEEDED_TWICE_AS_OFTEN} then 0.5 else 1 end as scale_days
     from slot join equipment on equipment.slot_id = slot.id join looked_at on looked_at.equipment_class = slot.equipment_class
     where slot.business_id = $1`,
    [businessId],
  )
}

async function writeVisits(run: Run, businessId: string, visitsPerTank: number, firstDay: string): Promise<number> {
  const made = await run(
    `insert into visit (business_id, id, client_id, tank_id, site_id, technician_id, kind, state, local_date, time_zone, outcome, arrived_at,
       left_at, minutes, created_at)
     select $3, ${visitId('n', 'on_day')}, client_id, tank_id, site_id, technician_id, 'routine', 'done', on_day, 'Europe/London', 'done',
       ${startOf('on_day')}, ${startOf('on_day')} + interval '${VISIT_MINUTES} minutes', ${VISIT_MINUTES}, on_day - 14
     from (select n, round.*, $1::date + n * ${VISIT_EVERY_DAYS} + day as on_day from generate_series(0, $2::int - 1) n, round) made
     order by on_day, number`,
    [firstDay, visitsPerTank, businessId],
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

async function writeLooks(run: Run, businessId: string, firstDay: string): Promise<number> {
  const looks = await run(
    `insert into finding (business_id, id, client_id, tank_id, visit_id, slot_id, equipment_id, equipment_class, failure_mode, as_found,
       depth, found_on, made_at, as_left)
     select $1, ${idOf('local_date', 'visit_id || equipment_id::text || failure_mode')}, client_id, tank_id, visit_id, slot_id, equipment_id,
       equipment_class, failure_mode, as_found, 'measured', local_date, local_date + time '10:00', 'ok'
     from (
       select visit.local_date, visit.client_id, visit.id as visit_id, lanes.tank_id, lanes.slot_id, lanes.equipment_id,
         lanes.equipment_class, lanes.failure_mode, case when needs.visit is null then 'ok' else 'needs_it' end as as_found
       from visit join lanes on lanes.tank_id = visit.tank_id
       left join needs on needs.equipment_id = lanes.equipment_id and needs.failure_mode = lanes.failure_mode
         and needs.visit = (visit.local_date - $2::date) / ${VISIT_EVERY_DAYS}
       where visit.business_id = $1 order by visit.local_date, visit.id
     ) looked`,
    [businessId, firstDay],
  )
  await run(
    `insert into renewal (business_id, id, tank_id, visit_id, slot_id, equipment_id, failure_mode, care_task, reason, renewed_on, made_at)
     select business_id, ${idOf('found_on', "'renewal' || found.id")}, tank_id, visit_id, slot_id, equipment_id, failure_mode,
       (select care_task from looked_at where looked_at.failure_mode = found.failure_mode), 'found',
       found_on, made_at + interval '10 minutes'
     from (select * from finding where business_id = $1 and as_found = 'needs_it' order by found_on, visit_id) found`,
    [businessId],
  )
  return looks
}

/** The same pseudo-random number for the same text, above 0 and below 1, whatever order Postgres works in. */
export function chance(text: string): string {
  return `((hashtextextended(${text}, 11) & 4294967295) + 0.5) / 4294967296.0::float8`
}

/** UUIDs as ours are (version 7, RFC 9562): the time in front, so that an index of them grows at its end; the same for the same words. */
const BENCH_ID = `create function pg_temp.bench_id(at timestamptz, words text) returns uuid language sql immutable as $body$
  select (lpad(to_hex((extract(epoch from at) * 1000)::bigint), 12, '0') || '7' || substr(md5(words), 1, 3) || '8' || substr(md5(words), 4, 15))::uuid
$body$`

/** An id of the register for a number and words. */
export const idAt = (number: string, words: string) =>
  `pg_temp.bench_id('2021-01-01T00:00:00Z', ${words} || ':' || (${number}))`

/** The id of something that happened on a day. */
export const idOf = (date: string, words: string) => `pg_temp.bench_id((${date})::timestamptz, (${words})::text)`

/** The id of a tank's visit number `n` (from 0), in a query over `round`. */
export const visitId = (n: string, date: string) => idOf(date, `'visit' || tank_id || (${n})`)

/** When somebody comes to it, in a query over `round`: from eight on, 27 minutes a tank with the way. */
export const startOf = (date: string) => `((${date}) + time '08:00' + place * interval '27 minutes')`
