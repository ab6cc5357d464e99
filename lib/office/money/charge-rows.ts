import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { ChargeKey, ChargeLine } from './charge'
import type { VisitToBill } from './work-charge'

/** Which charges are asked for: days up to `lastOn`; only of some tanks, or of all. */
export type ChargeWindow = {
  businessId: string
  /** The last day that is asked for, the last of a month. */
  lastOn: string
  /** From which month tanks are billed that never were; null: from the month their first agreement was written down. */
  since: string | null
  /** Null for all. Tanks that others were merged into. */
  tankIds: readonly string[] | null
  /** Where only some tanks are asked for: whose lines by hand, of no tank, are asked for too. */
  clientIds: readonly string[]
}

/**
 * What these queries leave out is what is plainly settled: billed, from the same facts, and for the amount due. Whatever may be open, or
 * billed too much, is read and reckoned with in full. Sites that changed their payer are always read.
 */
const homes = (asked: '$2' | '$3' | '$4') => `home AS MATERIALIZED (
    SELECT t.id, kept.id AS home_id, kept.site_id FROM tank t
    JOIN tank kept ON kept.business_id = t.business_id AND kept.id = COALESCE(t.merged_into_id, t.id)
    WHERE t.business_id = $1::uuid AND (${asked}::uuid[] IS NULL OR COALESCE(t.merged_into_id, t.id) = ANY (${asked}::uuid[]))),
  agreed AS MATERIALIZED (
    SELECT a.*, home.home_id FROM agreement a JOIN home ON home.id = a.tank_id
    WHERE a.business_id = $1::uuid AND (a.ends_on IS NULL OR a.ends_on >= a.starts_on)),
  moved AS MATERIALIZED (
    SELECT site_id FROM site_payer WHERE business_id = $1::uuid GROUP BY site_id HAVING count(*) > 1)`

/** What was billed of each; `subjects`: where only some are asked for, the statement that says of which. */
const billedBy = (kind: 'visit' | 'part', subjects: string | null) => `billed AS (
    SELECT subject_id, sum(settles_minor) AS settled,
      (array_agg(facts ORDER BY line_id DESC) FILTER (WHERE settles_minor > 0))[1] AS facts,
      (array_agg(due_minor ORDER BY line_id DESC) FILTER (WHERE settles_minor > 0))[1] AS due
    FROM charge_line WHERE business_id = $1::uuid AND kind = '${kind}' ${subjects === null ? '' : `AND subject_id IN (${subjects})`}
    GROUP BY subject_id)`

export type MonthRow = { tank_id: string; period: string }

/** Months of tanks that may be open: covered by a fee and not settled to the penny, or settled and covered otherwise than whole. */
export function readMonths(tx: Transaction, { businessId, lastOn, since, tankIds }: ChargeWindow): Promise<MonthRow[]> {
  return tx.$queryRawUnsafe<MonthRow[]>(
    `WITH ${homes('$4')},
     billed AS (
       SELECT home.home_id, line.period, sum(line.settles_minor) AS settled
       FROM charge_line line JOIN home ON home.id = line.subject_id
       WHERE line.business_id = $1::uuid AND line.kind = 'agreement_month' GROUP BY home.home_id, line.period),
     first_billed AS (SELECT home_id, min(period) AS period FROM billed GROUP BY home_id),
     begun AS (
       SELECT agreed.home_id, LEAST(first_billed.period, COALESCE($3, to_char(min(agreed.created_at AT TIME ZONE business.time_zone), 'YYYY-MM'))) AS period
       FROM agreed JOIN business ON business.id = agreed.business_id LEFT JOIN first_billed ON first_billed.home_id = agreed.home_id
       GROUP BY agreed.home_id, first_billed.period),
     covered AS (
       SELECT agreed.home_id, to_char(month, 'YYYY-MM') AS period, count(*) AS agreements, max(agreed.monthly_fee_minor) AS fee,
         bool_and(agreed.starts_on <= month AND (agreed.ends_on IS NULL OR agreed.ends_on >= month + interval '1 month - 1 day')) AS is_whole
       FROM agreed JOIN begun ON begun.home_id = agreed.home_id
       CROSS JOIN LATERAL generate_series(
         GREATEST(date_trunc('month', agreed.starts_on::timestamp), (begun.period || '-01')::timestamp),
         LEAST(date_trunc('month', agreed.ends_on::timestamp), $2::timestamp), interval '1 month') AS month
       GROUP BY agreed.home_id, month),
     known AS (SELECT * FROM covered FULL JOIN billed USING (home_id, period))
     SELECT known.home_id AS tank_id, period FROM known JOIN tank home ON home.business_id = $1::uuid AND home.id = known.home_id
     JOIN tank kept ON kept.business_id = $1::uuid AND kept.id = COALESCE(home.merged_into_id, home.id)
     WHERE period <= to_char($2::date, 'YYYY-MM')
       AND NOT (COALESCE(fee, 0) = 0 AND settled IS NULL)
       AND (kept.site_id IN (SELECT site_id FROM moved) OR NOT COALESCE(agreements = 1 AND is_whole AND settled = fee, false))
     ORDER BY 1, 2`,
    businessId,
    lastOn,
    since,
    tankIds,
  )
}

export type AgreementRow = {
  id: string
  client_id: string
  tank_id: string
  home_id: string
  purchase_order: string
  monthly_fee_minor: number
  starts_on: string
  ends_on: string | null
}

/** Every agreement of these tanks, those that others were merged into. */
export function readAgreements(
  tx: Transaction,
  businessId: string,
  tankIds: readonly string[],
): Promise<AgreementRow[]> {
  return tx.$queryRawUnsafe<AgreementRow[]>(
    `WITH ${homes('$2')} SELECT id, client_id, tank_id, home_id, purchase_order, monthly_fee_minor, starts_on::text, ends_on::text
     FROM agreed ORDER BY starts_on, id`,
    businessId,
    tankIds,
  )
}

export type VisitRow = {
  id: string
  client_id: string
  tank_id: string
  home_id: string
  kind: VisitToBill['kind']
  outcome: VisitToBill['outcome']
  day: string
  subject: string
  minutes: number
  out_of_hours: boolean
  has_fee: boolean
  bill_no_access: boolean
  purchase_order: string
}

/** Every visit that was made, with the agreement of its day. Work taken over by an import was billed where it was recorded. */
const VISITED = `visited AS (
    SELECT DISTINCT ON (v.id) v.id, v.client_id, v.tank_id, home.home_id, home.site_id, v.kind, v.outcome, v.local_date,
      v.what_for AS subject, v.out_of_hours, agreed.monthly_fee_minor > 0 AS has_fee,
      COALESCE(v.minutes, ceil(extract(epoch FROM v.left_at - v.arrived_at) / 60)::int, v.planned_minutes, 0) AS minutes,
      COALESCE(agreed.bill_no_access, false) AS bill_no_access, COALESCE(agreed.purchase_order, '') AS purchase_order
    FROM visit v JOIN home ON home.id = v.tank_id
    LEFT JOIN agreed ON agreed.home_id = home.home_id
      AND agreed.starts_on <= v.local_date AND (agreed.ends_on IS NULL OR agreed.ends_on >= v.local_date)
    WHERE v.business_id = $1::uuid AND v.import_batch_id IS NULL AND v.state = 'done' AND v.outcome IS NOT NULL
      AND v.local_date <= $2::date
    ORDER BY v.id, agreed.starts_on DESC NULLS LAST, agreed.id DESC)`

const VISIT_COLUMNS = `v.id, v.client_id, v.tank_id, v.home_id, v.kind, v.outcome, v.local_date::text AS day, v.subject, v.minutes,
  v.out_of_hours, COALESCE(v.has_fee, false) AS has_fee, v.bill_no_access, v.purchase_order`

/** Visits that may be open by themselves. */
export function readVisits(tx: Transaction, { businessId, lastOn, tankIds }: ChargeWindow): Promise<VisitRow[]> {
  return tx.$queryRawUnsafe<VisitRow[]>(
    `WITH ${homes('$3')}, ${VISITED}, ${billedBy('visit', tankIds && 'SELECT id FROM visited')}
     SELECT ${VISIT_COLUMNS} FROM visited v LEFT JOIN billed ON billed.subject_id = v.id
     WHERE CASE WHEN billed.subject_id IS NULL
       THEN v.kind <> 'return_check' AND NOT (v.kind = 'routine' AND COALESCE(v.has_fee, false)) AND (v.outcome <> 'no_access' OR v.bill_no_access)
       ELSE billed.settled <> billed.due OR v.site_id IN (SELECT site_id FROM moved) OR billed.facts <> concat_ws(' ', v.kind, v.outcome,
         v.minutes, CASE WHEN v.out_of_hours THEN 'out_of_hours' END, CASE WHEN v.kind = 'routine' AND v.has_fee THEN 'covered' END,
         CASE WHEN v.outcome = 'no_access' AND v.bill_no_access THEN 'billed' END) END
     ORDER BY v.local_date, v.id`,
    businessId,
    lastOn,
    tankIds,
  )
}

/** Routine visits that a fee covers, to be named on the line of their month. */
export function readCoveredVisits(
  tx: Transaction,
  { businessId, lastOn }: ChargeWindow,
  tankIds: readonly string[],
  firstOn: string,
): Promise<VisitRow[]> {
  return tx.$queryRawUnsafe<VisitRow[]>(
    `WITH ${homes('$3')}, ${VISITED} SELECT ${VISIT_COLUMNS} FROM visited v
     WHERE v.kind = 'routine' AND v.has_fee AND v.local_date >= $4::date ORDER BY v.local_date, v.id`,
    businessId,
    lastOn,
    tankIds,
    firstOn,
  )
}

export type PartRow = {
  root_id: string
  client_id: string
  tank_id: string
  home_id: string
  price_item_id: string | null
  description: string
  quantity: string
  billable: boolean
  day: string
  purchase_order: string
}

/** Parts that may be open: the newest words of each, under the first row of its corrections. */
export function readParts(tx: Transaction, { businessId, lastOn, tankIds }: ChargeWindow): Promise<PartRow[]> {
  return tx.$queryRawUnsafe<PartRow[]>(
    `WITH RECURSIVE ${homes('$3')},
     corrected AS (
       SELECT p.id, p.corrects_id AS root_id FROM part_used p WHERE p.business_id = $1::uuid AND p.corrects_id IS NOT NULL
         ${tankIds === null ? '' : 'AND p.tank_id IN (SELECT id FROM home)'}
       UNION ALL
       SELECT corrected.id, before.corrects_id FROM corrected
       JOIN part_used before ON before.business_id = $1::uuid AND before.id = corrected.root_id AND before.corrects_id IS NOT NULL),
     used AS (
       SELECT DISTINCT ON (p.id) COALESCE(first.root_id, p.id) AS root_id, p.*, home.home_id, home.site_id,
         COALESCE(agreed.purchase_order, '') AS purchase_order
       FROM part_used p JOIN home ON home.id = p.tank_id
       LEFT JOIN (SELECT DISTINCT ON (corrected.id) corrected.id, corrected.root_id FROM corrected
           JOIN part_used root ON root.business_id = $1::uuid AND root.id = corrected.root_id AND root.corrects_id IS NULL) first ON first.id = p.id
       LEFT JOIN agreed ON agreed.home_id = home.home_id
         AND agreed.starts_on <= p.used_on AND (agreed.ends_on IS NULL OR agreed.ends_on >= p.used_on)
       WHERE p.business_id = $1::uuid AND p.import_batch_id IS NULL AND p.used_on <= $2::date
         AND NOT EXISTS (SELECT 1 FROM part_used newer WHERE newer.business_id = p.business_id AND newer.corrects_id = p.id)
       ORDER BY p.id, agreed.starts_on DESC NULLS LAST, agreed.id DESC),
     ${billedBy('part', tankIds && 'SELECT root_id FROM used')}
     SELECT used.root_id, used.client_id, used.tank_id, used.home_id, used.price_item_id, used.description, used.quantity::text, used.billable,
       used.used_on::text AS day, used.purchase_order
     FROM used LEFT JOIN billed ON billed.subject_id = used.root_id
     WHERE CASE WHEN billed.subject_id IS NULL THEN used.billable AND used.quantity > 0
       ELSE billed.settled <> billed.due OR used.site_id IN (SELECT site_id FROM moved)
         OR billed.facts <> concat_ws(' ', used.quantity, used.billable::text, COALESCE(used.price_item_id::text, used.description)) END
     ORDER BY used.used_on, used.root_id`,
    businessId,
    lastOn,
    tankIds,
  )
}

export type HandRow = {
  id: string
  client_id: string
  due_minor: number
  description: string
  quantity: string
  unit: string
  unit_price: string
  place_name: string
  tank_id: string | null
  currency: string
  purchase_order: string
  tax_category: string
  tax_rate: string
  tax_exemption_reason: string
  tax_parts: unknown
  service_start: string
  service_end: string
}

/** Lines written by hand that a credit reopened, as they were written first. */
export function readHandLines(tx: Transaction, { businessId, tankIds, clientIds }: ChargeWindow): Promise<HandRow[]> {
  return tx.$queryRawUnsafe<HandRow[]>(
    `SELECT line.id, line.client_id, open.due_minor, line.description, line.quantity::text, line.unit, line.unit_price::text, line.place_name,
       line.tank_id, whole.currency, line.purchase_order, line.tax_category, line.tax_rate::text, line.tax_exemption_reason,
       line.tax_parts, COALESCE(line.service_start, whole.issued_on, whole.created_at::date)::text AS service_start,
       COALESCE(line.service_end, whole.issued_on, whole.created_at::date)::text AS service_end
     FROM (SELECT subject_id, max(due_minor) AS due_minor FROM charge_line WHERE business_id = $1::uuid AND kind = 'hand'
       GROUP BY subject_id HAVING sum(settles_minor) <> max(due_minor)) open
     JOIN invoice_line line ON line.business_id = $1::uuid AND line.id = open.subject_id
     JOIN invoice whole ON whole.business_id = line.business_id AND whole.id = line.invoice_id
     WHERE $2::uuid[] IS NULL OR line.tank_id = ANY ($2::uuid[]) OR (line.tank_id IS NULL AND line.client_id = ANY ($3::uuid[])) ORDER BY line.id`,
    businessId,
    tankIds,
    clientIds,
  )
}

type LineRow = ChargeKey & Omit<ChargeLine, 'payerId'> & { clientId: string }

/** What lines bill of these charges, oldest first, each under the tank that its own was merged into. */
export function readChargeLines(tx: Transaction, businessId: string, keys: readonly ChargeKey[]): Promise<LineRow[]> {
  return tx.$queryRawUnsafe<LineRow[]>(
    `WITH wanted AS MATERIALIZED (
       SELECT * FROM unnest($2::text[], $3::uuid[], $4::text[]) AS wanted (kind, subject_id, period)),
     subject AS (
       SELECT kind, period, subject_id AS home_id, subject_id AS id FROM wanted
       UNION ALL SELECT wanted.kind, wanted.period, wanted.subject_id, tank.id FROM wanted
       JOIN tank ON tank.business_id = $1::uuid AND tank.merged_into_id = wanted.subject_id WHERE wanted.kind = 'agreement_month')
     SELECT line.kind, subject.home_id AS "subjectId", line.period, line.client_id AS "clientId",
       line.net_minor AS "netMinor", line.settles_minor AS "settlesMinor", line.due_minor AS "dueMinor", line.facts,
       whole.id AS "invoiceId", whole.number AS "invoiceNumber"
     FROM subject
     JOIN charge_line line ON line.business_id = $1::uuid AND line.kind = subject.kind AND line.subject_id = subject.id AND line.period = subject.period
     LEFT JOIN tank ON line.kind = 'agreement_month' AND tank.business_id = line.business_id AND tank.id = line.subject_id
     JOIN invoice_line of ON of.business_id = line.business_id AND of.id = line.line_id
     JOIN invoice whole ON whole.business_id = of.business_id AND whole.id = of.invoice_id
     WHERE subject.home_id = COALESCE(tank.merged_into_id, line.subject_id) ORDER BY line.line_id, line.id`,
    businessId,
    keys.map(({ kind }) => kind),
    keys.map(({ subjectId }) => subjectId),
    keys.map(({ period }) => period),
  )
}

export type WaiverRow = ChargeKey & { id: string; reason: string }

/** Every standing "never bill". */
export function readWaivers(tx: Transaction, businessId: string): Promise<WaiverRow[]> {
  return tx.$queryRawUnsafe<WaiverRow[]>(
    `SELECT waiver.id, waiver.kind, COALESCE(tank.merged_into_id, waiver.subject_id) AS "subjectId", waiver.period, waiver.reason
     FROM charge_waiver waiver
     LEFT JOIN tank ON waiver.kind = 'agreement_month' AND tank.business_id = waiver.business_id AND tank.id = waiver.subject_id
     WHERE waiver.business_id = $1::uuid AND waiver.takes_back_id IS NULL AND NOT EXISTS (
       SELECT 1 FROM charge_waiver back WHERE back.business_id = waiver.business_id AND back.takes_back_id = waiver.id)
     ORDER BY waiver.made_at, waiver.id`,
    businessId,
  )
}
