import type { Client } from 'pg'
import type { BENCH_LOGINS } from '../business-at-work'

export type BenchRole = keyof typeof BENCH_LOGINS
export type Screen = {
  role: BenchRole
  /** As in a table: without ids. */
  name: string
  path: string
  /** A file to keep: its size is what the period holds, and only its time is measured. */
  isFile?: boolean
}

/** The main screens as each role, with ids of this business. */
export async function listScreens(client: Client, businessId: string, today: string): Promise<Screen[]> {
  const one = async (text: string, values: unknown[] = []) => {
    const { rows } = await client.query(`select ${text}`, values)
    const row: Record<string, string> | undefined = rows[0]
    if (!row) throw new Error(`nothing found by: ${text}`)
    return row
  }
  await client.query(`select set_config('role', 'tankround_office', false), set_config('app.business_id', $1, false)`, [
    businessId,
  ])
  // An ordinary tank: of the client who signs in, and of today's route of the first technician.
  const mine = await one(
    `tank.id, tank.client_id, tank.site_id, (select id from reservoir where tank_id = tank.id limit 1) as reservoir_id,
       (select id from visit where tank_id = tank.id and state = 'done' order by local_date desc limit 1) as last_visit
     from tank join membership on membership.client_id = tank.client_id where exists (select 1 from reservoir where tank_id = tank.id) limit 1`,
  )
  const route = await one(
    `visit.id from visit join person on person.id = technician_id where person.name = 'Technician 1' and local_date = $1 and state = 'under_way' limit 1`,
    [today],
  )
  const due = await one('equipment_id, care_task from due_item where tank_id = $1 and due_on is not null limit 1', [
    mine.id,
  ])
  const fault = await one(
    'tank_id, equipment_class, failure_mode from repeat_fault order by is_sure desc, rank limit 1',
  )
  const model = await one('equipment_class, failure_mode from life_model order by events desc limit 1')
  const part = await one('id from part order by name limit 1')
  const place = await one(`id from stock_place where kind = 'van' order by name limit 1`)
  const lot = await one('id from lot order by received_on desc limit 1')
  const invoice = await one(`id from invoice where state = 'issued' order by number desc limit 1`)
  const payment = await one('id from payment order by received_on desc, id limit 1')
  const tax = await one(
    `head.currency, tax_category as category, trim_scale(tax_rate)::text as rate from invoice_line line join invoice head on head.id = line.invoice_id
       where head.state = 'issued' group by 1, 2, 3 order by count(*) desc limit 1`,
  )
  const person = await one(`id from person where name = 'Technician 1'`)
  const device = await one('id from equipment where tank_id = $1 order by id limit 1', [mine.id])
  const year = `${Number(today.slice(0, 4)) - 1}${today.slice(4)}`
  const month = `from=${today.slice(0, 7)}-01&to=${today}`
  const last = await one(
    `to_char($1::date - interval '1 month', 'YYYY-MM') as month, ($1::date - extract(day from $1::date)::int)::text as to`,
    [today],
  )
  const slug = (text: string | undefined) => encodeURIComponent(text ?? '')
  const screens = (role: BenchRole, paths: Record<string, string>) =>
    Object.entries(paths).map(([name, path]): Screen => ({ role, name, path }))
  return [
    ...screens('owner', {
      '/today': '/today',
      '/plan': '/plan',
      '/plan/due': '/plan/due',
      '/plan/book': '/plan/book',
      '/plan/requests': '/plan/requests',
      '/plan/visits/:id': `/plan/visits/${route.id}`,
      '/tanks': '/tanks',
      '/tanks?q': '/tanks?q=site+12',
      '/tanks/:id': `/tanks/${mine.id}`,
      '/tanks/:id/how-often': `/tanks/${mine.id}/how-often`,
      '/tanks/:id/equipment/:id': `/tanks/${mine.id}/equipment/${device.id}`,
      '/tanks/:id/refills/:id': `/tanks/${mine.id}/refills/${mine.reservoir_id}`,
      '/tanks/merge': '/tanks/merge',
      '/clients': '/clients',
      '/clients/:id': `/clients/${mine.client_id}`,
      '/clients/sites/:id': `/clients/sites/${mine.site_id}`,
      '/clients/merge': '/clients/merge',
      '/clients/sites/merge': '/clients/sites/merge',
      '/work-due': '/work-due',
      '/work-due/:device/:task': `/work-due/${due.equipment_id}/${slug(due.care_task)}`,
      '/work-due/how-often': '/work-due/how-often',
      '/work-due/intervals': '/work-due/intervals',
      '/work-due/learned': '/work-due/learned',
      '/work-due/learned/:mode': `/work-due/learned/${model.equipment_class}/${slug(model.failure_mode)}`,
      '/repeat-faults': '/repeat-faults',
      '/repeat-faults/:fault': `/repeat-faults/${fault.tank_id}/${fault.equipment_class}/${slug(fault.failure_mode)}`,
      '/repeat-faults/over-time': '/repeat-faults/over-time',
      '/repeat-faults/people': '/repeat-faults/people',
      '/parts': '/parts',
      '/parts/:id': `/parts/${part.id}`,
      '/parts/orders': '/parts/orders',
      '/parts/vans': '/parts/vans',
      '/parts/count/:place': `/parts/count/${place.id}`,
      '/parts/lots': '/parts/lots',
      '/parts/lots/:id': `/parts/lots/${lot.id}`,
      '/money': '/money',
      '/money/:id': `/money/${invoice.id}`,
      '/money/charges?client': `/money/charges?client=${mine.client_id}`,
      '/money/charges?tank': `/money/charges?tank=${mine.id}`,
      '/money/prices': '/money/prices',
      '/people': '/people',
      '/people/:id': `/people/${person.id}`,
      '/settings/costs': '/settings/costs',
      '/imports': '/imports',
    }),
    ...screens('technician', {
      '/route': '/route',
      '/visits/:id': `/visits/${route.id}`,
      '/visits/:id/look': `/visits/${route.id}/look`,
      '/visits/:id/find': `/visits/${route.id}/find`,
      '/visits/:id/find?sign': `/visits/${route.id}/find?sign=cloudy-water`,
      '/visits/:id/test': `/visits/${route.id}/test`,
      '/visits/:id/work': `/visits/${route.id}/work`,
      '/visits/:id/leave': `/visits/${route.id}/leave`,
      '/visits/new': `/visits/new?tank=${mine.id}`,
      '/calls?search': '/calls?search=site+12',
      '/calls/:tank': `/calls/${mine.id}?sign=gasping`,
    }),
    ...screens('client', {
      '/our-tanks': '/our-tanks',
      '/our-tanks/:id': `/our-tanks/${mine.id}`,
      '/our-tanks/:id/visits/:id': `/our-tanks/${mine.id}/visits/${mine.last_visit}`,
      '/our-tanks/invoices': '/our-tanks/invoices',
    }),
    ...screens('accountant', {
      '/books month': `/books?from=${last.month}-01&to=${last.to}`,
      '/books this month': `/books?${month}`,
      '/books year': `/books?from=${year}&to=${today}`,
      '/books by cash': `/books?from=${last.month}-01&to=${last.to}&basis=cash`,
      '/books by service': `/books?from=${last.month}-01&to=${last.to}&basis=service`,
      '/books/tax': `/books/tax?from=${year}&to=${today}&basis=cash&currency=${tax.currency}&category=${tax.category}&rate=${tax.rate}`,
      '/books/payments/:id': `/books/payments/${payment.id}`,
      '/books/debtors': '/books/debtors',
      '/books/clients/:id': `/books/clients/${mine.client_id}`,
    }),
    {
      role: 'accountant',
      name: 'its CSV month',
      path: `/api/books/csv?from=${last.month}-01&to=${last.to}`,
      isFile: true,
    },
    { role: 'accountant', name: 'its CSV year', path: `/api/books/csv?from=${year}&to=${today}`, isFile: true },
  ]
}
