import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { nameSome } from '../clients/hindrances'

type Parent =
  | 'person'
  | 'client'
  | 'site'
  | 'tank'
  | 'slot'
  | 'equipment'
  | 'visit'
  | 'finding'
  | 'part_used'
  | 'agreement'
type Hanging = {
  table: string
  /** One of them, several of them. */
  words: [string, string]
  /** Which column refers to which rows of the batch. */
  by: Record<string, Parent>
  /** Rows of this table may belong to the batch themselves; those are no later work. */
  imported: boolean
}

const of = (table: string, words: [string, string], by: Record<string, Parent>): Hanging => ({
  table,
  words,
  by,
  imported: false,
})
const ofImports = (table: string, words: [string, string], by: Record<string, Parent>): Hanging => ({
  table,
  words,
  by,
  imported: true,
})

const TANK = { tank_id: 'tank', client_id: 'client' } as const

/** Everything that can hang on the rows of an import. */
const HANGING: readonly Hanging[] = [
  ofImports('visit', ['visit', 'visits'], { ...TANK, site_id: 'site', technician_id: 'person' }),
  ofImports('visit_event', ['step of a visit', 'steps of visits'], { visit_id: 'visit', tank_id: 'tank' }),
  ofImports('finding', ['finding', 'findings'], { ...TANK, visit_id: 'visit', equipment_id: 'equipment' }),
  ofImports('renewal', ['renewal', 'renewals'], { tank_id: 'tank', visit_id: 'visit', equipment_id: 'equipment' }),
  ofImports('reading', ['reading', 'readings'], { ...TANK, visit_id: 'visit', equipment_id: 'equipment' }),
  ofImports('part_used', ['part', 'parts'], { ...TANK, visit_id: 'visit' }),
  ofImports('agreement', ['agreement', 'agreements'], { ...TANK, preferred_person_id: 'person' }),
  ofImports('equipment', ['device', 'devices'], { tank_id: 'tank', slot_id: 'slot', replaces_id: 'equipment' }),
  ofImports('slot', ['place of a device', 'places of devices'], { tank_id: 'tank' }),
  ofImports('tank_client', ['hand-over', 'hand-overs'], TANK),
  ofImports('tank', ['tank', 'tanks'], { client_id: 'client', site_id: 'site', merged_into_id: 'tank' }),
  ofImports('site', ['site', 'sites'], { client_id: 'client', payer_client_id: 'client', merged_into_id: 'site' }),
  ofImports('client', ['merged client', 'merged clients'], { merged_into_id: 'client' }),
  ofImports('person', ['merged person', 'merged people'], { merged_into_id: 'person' }),
  of('photo', ['photo', 'photos'], { ...TANK, visit_id: 'visit' }),
  of('follow_up', ['follow-up', 'follow-ups'], { ...TANK, visit_id: 'visit', person_id: 'person' }),
  of('visit_request', ['request', 'requests'], { ...TANK, visit_id: 'visit' }),
  of('reservoir', ['container', 'containers'], { tank_id: 'tank', equipment_id: 'equipment' }),
  of('reservoir_level', ['level of a container', 'levels of containers'], { visit_id: 'visit' }),
  of('invoice', ['invoice', 'invoices'], { client_id: 'client' }),
  of('invoice_line', ['invoice line', 'invoice lines'], {
    tank_id: 'tank',
    visit_id: 'visit',
    part_used_id: 'part_used',
    agreement_id: 'agreement',
  }),
  of('site_payer', ['change of payer', 'changes of payers'], {
    site_id: 'site',
    client_id: 'client',
    payer_client_id: 'client',
  }),
  of('membership', ['sign-in', 'sign-ins'], { client_id: 'client', person_id: 'person' }),
  of('client_private', ['note on a client', 'notes on clients'], { client_id: 'client' }),
  of('site_private', ['note on a site', 'notes on sites'], { site_id: 'site' }),
  of('site_contact', ['contact at a site', 'contacts at sites'], { site_id: 'site' }),
  of('tank_private', ['note on a tank', 'notes on tanks'], { tank_id: 'tank' }),
]

/** Names in this SQL are those of the list above; what varies goes in as parameters. */
const QUERY = HANGING.map(({ table, by, imported }, place) => {
  const refers = Object.entries(by).map(
    ([column, parent]) =>
      `x.${column} IN (SELECT id FROM ${parent} WHERE business_id = $1::uuid AND import_batch_id = $2::uuid)`,
  )
  const names = 'tank_id' in by ? 'array_agg(DISTINCT t.name)' : 'NULL::text[]'
  const tank = 'tank_id' in by ? 'LEFT JOIN tank t ON t.business_id = x.business_id AND t.id = x.tank_id' : ''
  const others = imported ? 'AND x.import_batch_id IS DISTINCT FROM $2::uuid' : ''
  return `SELECT ${place}::int AS place, count(*)::int AS count, ${names} AS names FROM ${table} x ${tank}
    WHERE x.business_id = $1::uuid ${others} AND (${refers.join(' OR ')})`
}).join('\nUNION ALL\n')

/** What hangs on the rows of a batch without being of it, each as half a sentence: "2 visits (Hall, Bar)". */
export async function laterWork(tx: Transaction, businessId: string, batchId: string): Promise<string[]> {
  const rows = await tx.$queryRawUnsafe<{ place: number; count: number; names: (string | null)[] | null }[]>(
    `${QUERY} ORDER BY place`,
    businessId,
    batchId,
  )
  return rows.flatMap(({ place, count, names }) => {
    const words = HANGING[place]?.words
    if (count === 0 || !words) return []
    const where = (names ?? []).filter((name) => name !== null)
    return [`${count} ${words[count === 1 ? 0 : 1]}${where.length > 0 ? ` (${nameSome(where)})` : ''}`]
  })
}
