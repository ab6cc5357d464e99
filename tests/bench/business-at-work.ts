/**
 * What stands around the visits of the large invented business once people work with it: who signs in, the days ahead, readings,
 * parts and stock, containers, lots, promises and questions. From the same fixed seed, told from `today`.
 */
import type { Client } from 'pg'
import { hashPassword } from '@/lib/platform/auth/password'
import type { RefillKind } from '@/lib/trade/refill-kinds'
import { chance, idAt, idOf, startOf, VISIT_EVERY_DAYS, VISIT_MINUTES, visitId } from './large-business'

export const BENCH_PASSWORD = 'seven quiet herons wade'
const TIME_ZONE = 'Europe/London'
const CONTAINER: RefillKind = 'top-up-water'

/** Who signs in to be measured, by role. */
export const BENCH_LOGINS = {
  owner: 'owner@large.example',
  technician: 'technician1@large.example',
  client: 'client@large.example',
  accountant: 'accountant@large.example',
} as const

export type WorkPlan = { technicians: number; visitsPerTank: number; firstDay: string; today: string }
type Run = (text: string, values?: unknown[]) => Promise<unknown>

/** Writes it in the session that wrote the visits. Errors: those of Postgres. */
export async function writeWork(client: Client, businessId: string, plan: WorkPlan): Promise<void> {
  const run: Run = (text, values = []) => client.query(text, values)
  await writePeople(run, businessId, plan.technicians)
  await writeDaysAhead(run, businessId, plan)
  await writeReadings(run, businessId)
  await writeVisitEvents(run, businessId)
  await writeParts(run, businessId, plan)
  await writeContainers(run, businessId, plan)
  await writeLots(run, businessId, plan)
  await writePromises(run, businessId, plan)
}

async function writePeople(run: Run, businessId: string, technicians: number): Promise<void> {
  const people = [
    ...Array.from({ length: technicians }, (_, i) => ({
      number: i + 1,
      name: `Technician ${i + 1}`,
      role: 'technician',
    })),
    { number: 1001, name: 'Owner', role: 'owner' },
    { number: 1002, name: 'Accountant', role: 'accountant' },
    { number: 1003, name: 'Client', role: 'client' },
  ]
  const passwordHash = await hashPassword(BENCH_PASSWORD)
  for (const { number, name, role } of people) {
    const email = role === 'technician' ? `technician${number}@large.example` : `${role}@large.example`
    const values = [businessId, number, name, role === 'technician', role, role === 'client' ? 1 : null]
    await run(
      `insert into person (business_id, id, name, is_technician) values ($1, ${idAt('$2::int', "'person'")}, $3, $4)`,
      values.slice(0, 4),
    )
    await run(`insert into identity.login (id, email, password_hash) values (${idAt('$1::int', "'login'")}, $2, $3)`, [
      number,
      email,
      passwordHash,
    ])
    await run(
      `insert into membership (business_id, id, person_id, login_id, roles, client_id)
       select $1, ${idAt('$2::int', "'member'")}, ${idAt('$2::int', "'person'")}, ${idAt('$2::int', "'login'")}, array[$3::text],
         case when $4::int is null then null else ${idAt('$4::int', "'client'")} end`,
      [businessId, number, role, role === 'client' ? 1 : null],
    )
  }
  await run(`update business set name = 'Wide Waters', time_zone = $2, currency = 'GBP' where id = $1`, [
    businessId,
    TIME_ZONE,
  ])
}

/** Two rounds ahead stand in the plan; each technician has begun the first visit of today. */
async function writeDaysAhead(run: Run, businessId: string, { visitsPerTank, firstDay, today }: WorkPlan) {
  await run(
    `insert into visit (business_id, id, client_id, tank_id, site_id, technician_id, kind, state, local_date, time_zone, window_start,
       window_end, planned_start, planned_end, planned_minutes, arrived_at, created_at)
     select $1, ${visitId('n', 'on_day')}, client_id, tank_id, site_id, technician_id, 'routine', state, on_day, '${TIME_ZONE}', '08:00', '17:00',
       ${startOf('on_day')}, ${startOf('on_day')} + interval '${VISIT_MINUTES} minutes', ${VISIT_MINUTES},
       case when state = 'under_way' then ${startOf('on_day')} end, on_day - 28
     from (select n, round.*, $2::date + n * ${VISIT_EVERY_DAYS} + day as on_day,
         case when $2::date + n * ${VISIT_EVERY_DAYS} + day = $4::date and place = 0 then 'under_way' else 'booked' end as state
       from generate_series($3::int, $3::int + 1) n, round) made
     order by on_day, number`,
    [businessId, firstDay, visitsPerTank, today],
  )
}

/** Six figures a visit; one in some thousands past an alarm limit. */
async function writeReadings(run: Run, businessId: string): Promise<void> {
  await run(
    `insert into reading (business_id, id, client_id, tank_id, visit_id, quantity, value, unit, entered_value, entered_unit, taken_at, taken_on)
     select $1, ${idOf('local_date', "'reading' || visit_id || quantity")}, client_id, tank_id, visit_id, quantity, value, unit, value::text, unit,
       local_date + time '10:05', local_date
     from (select visit.id as visit_id, visit.client_id, visit.tank_id, visit.local_date, kinds.quantity, kinds.unit,
         round((middle + spread * (${chance('visit.id::text || kinds.quantity')} - 0.5)
           * case when ${chance("visit.id::text || kinds.quantity || 'odd'")} < 0.0003 then 20 else 1 end)::numeric, 2) as value
       from visit, (values ('temperature', '°C', 25, 1.5), ('salinity', '', 35, 1), ('alkalinity', 'meq/L', 2.9, 0.6),
         ('calcium', 'mg/L', 420, 40), ('nitrate', 'mg/L', 12, 8), ('phosphate', 'mg/L', 0.08, 0.06)) kinds (quantity, unit, middle, spread)
       where visit.business_id = $1 and visit.state = 'done' order by visit.local_date, visit.id) taken`,
    [businessId],
  )
}

async function writeVisitEvents(run: Run, businessId: string): Promise<void> {
  await run(
    `insert into visit_event (business_id, id, visit_id, tank_id, kind, at, command_id, person_id, detail)
     select $1, ${idOf('local_date', 'what || id')}, id, tank_id, what, case what when 'arrived' then arrived_at else left_at end,
       ${idOf('local_date', "'command' || what || id")}, technician_id,
       case what when 'arrived' then '{"deviceId": "phone", "deviceSeq": 1}'::jsonb
         else '{"deviceId": "phone", "deviceSeq": 9, "outcome": "done", "minutes": 20, "leavingCheckDone": [], "reason": ""}'::jsonb end
     from (select visit.*, what from visit, unnest(array['arrived', 'left']) what where visit.business_id = $1 and arrived_at is not null
         and (what = 'arrived' or left_at is not null) order by local_date, id) happened`,
    [businessId],
  )
}

/** A part for the work on each kind of device that is looked at; every third renewal takes one off the van. */
async function writeParts(run: Run, businessId: string, { firstDay }: WorkPlan): Promise<void> {
  await run(
    `insert into supplier (business_id, id, name, lead_time_days) values ($1, ${idAt('1', "'supplier'")}, 'Wholesale', 10)`,
    [businessId],
  )
  await run(
    `insert into stock_place (business_id, id, kind, name) values ($1, ${idAt('0', "'place'")}, 'shelf', 'Workshop')`,
    [businessId],
  )
  await run(
    `insert into stock_place (business_id, id, kind, name, person_id)
     select $1, ${idOf("date '2021-01-01'", "'van' || id")}, 'van', 'Van of ' || name, id from person where business_id = $1 and is_technician`,
    [businessId],
  )
  await run(
    `create temp table fitted as select care_task, min(equipment_class) as equipment_class, row_number() over (order by care_task) as number,
       ${idOf("date '2021-01-01'", "'part' || care_task")} as part_id, ${idOf("date '2021-01-01'", "'price' || care_task")} as price_id
     from looked_at group by care_task`,
  )
  await run(
    `insert into price_item (business_id, id, name, kind, unit_price, tax_rate, valid_from)
     select $1, price_id, 'Part ' || number, 'part', 12.5 + number, 20, $2::date from fitted`,
    [businessId, firstDay],
  )
  await run(
    `insert into part (business_id, id, name, supplier_id, price_item_id, cost_minor, order_cost_minor)
     select $1, part_id, 'Part ' || number, ${idAt('1', "'supplier'")}, price_id, 600 + 50 * number, 650 from fitted`,
    [businessId],
  )
  await run(
    `insert into part_fit (business_id, id, part_id, equipment_class, care_task)
     select $1, ${idOf("date '2021-01-01'", "'fit' || care_task")}, part_id, equipment_class, care_task from fitted`,
    [businessId],
  )
  await run(
    `insert into part_used (business_id, id, client_id, tank_id, visit_id, price_item_id, part_id, description, quantity, used_on, command_id)
     select $1, ${idOf('renewed_on', "'used' || renewal.id")}, round.client_id, renewal.tank_id, visit_id, price_id, part_id, 'Part', 1,
       renewed_on, ${idOf('renewed_on', "'command' || renewal.id")}
     from renewal join fitted on fitted.care_task = renewal.care_task join round on round.tank_id = renewal.tank_id
     where renewal.business_id = $1 and ${chance("renewal.id::text || 'part'")} < 0.33 order by renewed_on, renewal.id`,
    [businessId],
  )
  await writeStockMoves(run, businessId, firstDay)
}

/** Taken off the van at the visit; the van is filled from the shelf once a month, the shelf by the supplier. */
async function writeStockMoves(run: Run, businessId: string, firstDay: string): Promise<void> {
  const van = idOf("date '2021-01-01'", "'van' || visit.technician_id")
  await run(
    `insert into stock_move (business_id, id, part_id, from_place_id, kind, quantity, moved_on, visit_id, part_used_id, person_id)
     select $1, ${idOf('used_on', "'move' || used.id")}, part_id, ${van}, 'used', quantity, used_on, used.visit_id, used.id, visit.technician_id
     from part_used used join visit on visit.business_id = used.business_id and visit.id = used.visit_id
     where used.business_id = $1 order by used_on, used.id`,
    [businessId],
  )
  await run(
    `insert into stock_move (business_id, id, part_id, from_place_id, to_place_id, kind, quantity, moved_on)
     select $1, ${idOf('month', "'filled' || part_id || from_place_id || month")}, part_id, ${idAt('0', "'place'")}, from_place_id, 'moved', count(*),
       month
     from (select *, date_trunc('month', moved_on)::date as month from stock_move where business_id = $1 and kind = 'used') used
     group by part_id, from_place_id, month order by month`,
    [businessId],
  )
  await run(
    `insert into stock_move (business_id, id, part_id, to_place_id, kind, quantity, moved_on)
     select $1, ${idOf('moved_on', "'came' || part_id || moved_on")}, part_id, ${idAt('0', "'place'")}, 'received', sum(quantity), moved_on
     from stock_move where business_id = $1 and kind = 'moved' group by part_id, moved_on order by moved_on`,
    [businessId],
  )
  await run(
    `insert into stock_move (business_id, id, part_id, to_place_id, kind, quantity, moved_on)
     select $1, ${idOf('$2::date', "'opening' || id")}, id, ${idAt('0', "'place'")}, 'received', 40, $2::date from part where business_id = $1`,
    [businessId, firstDay],
  )
}

/** A quarter of the tanks has a top-up container, read at every visit. */
async function writeContainers(run: Run, businessId: string, { today }: WorkPlan): Promise<void> {
  await run(
    `insert into reservoir (business_id, id, tank_id, kind, label, unit, capacity)
     select $1, ${idOf("date '2021-01-01'", "'container' || tank_id")}, tank_id, '${CONTAINER}', 'Top-up', 'L', 60 from round where number % 4 = 0`,
    [businessId],
  )
  await run(
    `insert into reservoir_level (business_id, id, reservoir_id, visit_id, measured_on, level_before, level_after, made_at)
     select $1, ${idOf('local_date', "'level' || visit.id")}, reservoir.id, visit.id, local_date,
       round((60 * ${chance("visit.id::text || 'left'")})::numeric, 1), 60, local_date + time '10:10'
     from visit join reservoir on reservoir.business_id = visit.business_id and reservoir.tank_id = visit.tank_id
     where visit.business_id = $1 and visit.state = 'done' and local_date < $2::date order by local_date, visit.id`,
    [businessId, today],
  )
}

/** Two lots of salt a year, each used in a third of the tanks. */
async function writeLots(run: Run, businessId: string, { firstDay, today }: WorkPlan): Promise<void> {
  await run(
    `insert into lot (business_id, id, kind, label, received_on)
     select $1, ${idOf('day', "'lot' || n")}, 'salt', 'Lot ' || n, day
     from (select n, $2::date + n * 182 as day from generate_series(0, 20) n) made where day < $3::date`,
    [businessId, firstDay, today],
  )
  await run(
    `insert into lot_use (business_id, id, lot_id, tank_id, used_on)
     select $1, ${idOf('used_on', "'use' || lot_id || tank_id")}, lot_id, tank_id, used_on
     from (select lot.id as lot_id, round.tank_id, lot.received_on + number % 90 as used_on from lot, round
       where lot.business_id = $1 and round.number % 3 = 0) used where used_on < $2::date`,
    [businessId, today],
  )
}

/** A promise for every tenth tank, half of them kept; one client in thirty has asked for something. */
async function writePromises(run: Run, businessId: string, { today }: WorkPlan): Promise<void> {
  await run(
    `insert into follow_up (business_id, id, client_id, tank_id, what, due_on, done_at)
     select $1, ${idOf('$2::date - number % 60', "'promise' || tank_id")}, client_id, tank_id, 'Bring the new lid', $2::date - 5 + number % 60,
       case when number % 20 = 0 then now() end from round where number % 10 = 0`,
    [businessId, today],
  )
  await run(
    `insert into visit_request (business_id, id, client_id, tank_id, words, asked_at)
     select $1, ${idOf('$2::date', "'asked' || tank_id")}, client_id, tank_id, 'The glass is green again. Can somebody come?', $2::date - 1
     from round where number % 120 = 1`,
    [businessId, today],
  )
}
