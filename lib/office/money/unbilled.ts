import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { minorToDecimalText } from './currency'
import type { AgreementToBill, PartToBill, UnbilledWork, VisitToBill } from './draft-lines'
import { firstDay, lastDay, monthBefore, monthOf } from './months'
import { type PayerBook, readPayerBook } from './payer-book'
import { datedTax, type ListedPrice, partPriceAt, rateOf, visitPriceAt } from './price-at'
import { readPriceList } from './price-list'

/** Up to which month agreements are billed, "2026-11", and from when those are that never were. */
export type BillingWindow = { through: string; since?: string | undefined }

/** A source counts as billed while a line names it that was not wholly credited by an issued credit note. */
const LIVE_LINE = `
  FROM invoice_line line JOIN invoice whole ON whole.business_id = line.business_id AND whole.id = line.invoice_id
  WHERE line.business_id = $1::uuid AND whole.document_type = 'invoice' AND line.credits_line_id IS NULL
    AND abs(line.quantity) > COALESCE((
      SELECT sum(abs(credit.quantity)) FROM invoice_line credit
      JOIN invoice note ON note.business_id = credit.business_id AND note.id = credit.invoice_id
      WHERE credit.business_id = line.business_id AND credit.credits_line_id = line.id AND note.state = 'issued'), 0)`

/**
 * What was done and stands on no invoice and no draft. Work taken over by an import was billed where it was recorded and
 * is left out; an agreement never billed starts with `since`, else with the month in which it was written down.
 */
export async function readUnbilled(tx: Transaction, businessId: string, window: BillingWindow): Promise<UnbilledWork> {
  const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
  const { currency } = business
  const book = await readPayerBook(tx, business)
  const prices = await readPriceList(tx, businessId)
  const agreements = await readAgreements(tx, businessId, window)
  const firstDays = agreements.map((row) => [row.starts_on, row.fromDay].sort().at(-1) ?? row.fromDay)
  const earliest = monthOf(firstDays.sort()[0] ?? firstDay(window.through))
  const visits = await readVisits(tx, businessId, lastDay(window.through), firstDay(earliest))
  const parts = await readParts(tx, businessId, lastDay(window.through))
  const work = {
    through: window.through,
    agreements: agreements.map((row) => agreementToBill(row, book, currency)),
    visits: visits.map((row) => visitToBill(row, book, prices, currency)),
    parts: parts.map((row) => partToBill(row, book, prices, currency)),
  }
  const payerIds = new Set([...work.agreements, ...work.visits, ...work.parts].map(({ payerId }) => payerId))
  return { ...work, payers: book.payers.filter(({ id }) => payerIds.has(id)) }
}

type AgreementRow = {
  id: string
  client_id: string
  tank_id: string
  purchase_order: string
  monthly_fee_minor: number
  starts_on: string
  ends_on: string | null
  written_on: string
  billed_until: string | null
}
type OpenAgreement = AgreementRow & {
  billedThrough: string
  /** First day that may be billed: something was billed before, or the window begins here. */
  fromDay: string
}

async function readAgreements(tx: Transaction, businessId: string, { through, since }: BillingWindow) {
  const rows = await tx.$queryRawUnsafe<AgreementRow[]>(
    `SELECT a.id, a.client_id, a.tank_id, a.purchase_order, a.monthly_fee_minor, a.starts_on::text, a.ends_on::text,
       a.created_at::date::text AS written_on,
       (SELECT max(COALESCE(line.service_end, line.service_start))::text ${LIVE_LINE} AND line.agreement_id = a.id) AS billed_until
     FROM agreement a
     WHERE a.business_id = $1::uuid AND a.monthly_fee_minor > 0 AND a.starts_on <= $2::date
       AND (a.ends_on IS NULL OR a.ends_on >= a.starts_on)`,
    businessId,
    lastDay(through),
  )
  return rows
    .map((row): OpenAgreement => {
      const before = row.billed_until ?? firstDay(monthBefore(since ?? monthOf(row.written_on)))
      const billedThrough = monthOf(before)
      return { ...row, billedThrough, fromDay: nextMonthsFirst(billedThrough) }
    })
    .filter((row) => row.billedThrough < through && (row.ends_on === null || monthOf(row.ends_on) > row.billedThrough))
}

function nextMonthsFirst(month: string): string {
  const day = new Date(`${lastDay(month)}T00:00:00Z`)
  day.setUTCDate(day.getUTCDate() + 1)
  return day.toISOString().slice(0, 10)
}

function agreementToBill(row: OpenAgreement, book: PayerBook, currency: string): AgreementToBill {
  const place = book.placeOf(row.tank_id, row.client_id)
  return {
    id: row.id,
    payerId: place.payerId,
    placeName: place.placeName,
    tankId: row.tank_id,
    currency,
    purchaseOrder: row.purchase_order || place.purchaseOrder,
    tax: place.tax === null ? null : datedTax(place.tax, null),
    startsOn: row.starts_on,
    endsOn: row.ends_on,
    billedThrough: row.billedThrough,
    monthlyFee: minorToDecimalText(row.monthly_fee_minor, currency),
  }
}

type VisitRow = {
  id: string
  client_id: string
  tank_id: string
  kind: VisitToBill['kind']
  outcome: VisitToBill['outcome']
  day: string
  subject: string
  minutes: number
  agreement_id: string | null
  bill_no_access: boolean
}

/** Visits done and not billed; those a fee covers only from `coveredFrom` on, to be named on the agreement's line. */
function readVisits(tx: Transaction, businessId: string, lastOn: string, coveredFrom: string): Promise<VisitRow[]> {
  return tx.$queryRawUnsafe<VisitRow[]>(
    `SELECT v.id, v.client_id, v.tank_id, v.kind, v.outcome, v.local_date::text AS day, v.what_for AS subject,
       COALESCE(v.minutes, ceil(extract(epoch FROM v.left_at - v.arrived_at) / 60)::int, v.planned_minutes, 0) AS minutes,
       fee.id AS agreement_id, COALESCE(agreed.bill_no_access, false) AS bill_no_access
     FROM visit v JOIN tank t ON t.business_id = v.business_id AND t.id = v.tank_id
     LEFT JOIN LATERAL (SELECT a.id, a.bill_no_access, a.monthly_fee_minor FROM agreement a
       JOIN tank held ON held.business_id = a.business_id AND held.id = a.tank_id
       WHERE a.business_id = v.business_id AND COALESCE(held.merged_into_id, held.id) = COALESCE(t.merged_into_id, t.id)
         AND a.starts_on <= v.local_date AND (a.ends_on IS NULL OR a.ends_on >= v.local_date)
       ORDER BY a.starts_on DESC, a.id DESC LIMIT 1) agreed ON true
     LEFT JOIN LATERAL (SELECT agreed.id WHERE agreed.monthly_fee_minor > 0) fee ON true
     WHERE v.business_id = $1::uuid AND v.import_batch_id IS NULL AND v.state = 'done' AND v.outcome IS NOT NULL
       AND v.kind <> 'return_check' AND v.local_date <= $2::date
       AND (v.kind <> 'routine' OR fee.id IS NULL OR v.local_date >= $3::date)
       AND NOT EXISTS (SELECT 1 ${LIVE_LINE} AND line.visit_id = v.id)`,
    businessId,
    lastOn,
    coveredFrom,
  )
}

function visitToBill(row: VisitRow, book: PayerBook, prices: ListedPrice[], currency: string): VisitToBill {
  const place = book.placeOf(row.tank_id, row.client_id)
  const price = visitPriceAt(prices, row.kind, row.day)
  const { id, kind, outcome, subject, minutes } = row
  return {
    id,
    kind,
    outcome,
    subject,
    minutes,
    date: row.day,
    payerId: place.payerId,
    placeName: place.placeName,
    tankId: row.tank_id,
    currency,
    purchaseOrder: place.purchaseOrder,
    tax: taxOf(place, price, row.day),
    agreementId: row.agreement_id,
    billNoAccess: row.bill_no_access,
    outOfHours: false,
    rate: price && rateOf(price),
  }
}

type PartRow = {
  id: string
  client_id: string
  tank_id: string
  price_item_id: string | null
  description: string
  quantity: string
  day: string
}

function readParts(tx: Transaction, businessId: string, lastOn: string): Promise<PartRow[]> {
  return tx.$queryRawUnsafe<PartRow[]>(
    `SELECT p.id, p.client_id, p.tank_id, p.price_item_id, p.description, p.quantity::text, p.used_on::text AS day
     FROM part_used p
     WHERE p.business_id = $1::uuid AND p.import_batch_id IS NULL AND p.billable AND p.quantity > 0 AND p.used_on <= $2::date
       AND NOT EXISTS (SELECT 1 FROM part_used newer WHERE newer.business_id = p.business_id AND newer.corrects_id = p.id)
       AND NOT EXISTS (SELECT 1 ${LIVE_LINE} AND line.part_used_id = p.id)`,
    businessId,
    lastOn,
  )
}

function partToBill(row: PartRow, book: PayerBook, prices: ListedPrice[], currency: string): PartToBill {
  const place = book.placeOf(row.tank_id, row.client_id)
  const price = partPriceAt(prices, { priceItemId: row.price_item_id, description: row.description }, row.day)
  return {
    id: row.id,
    date: row.day,
    payerId: place.payerId,
    placeName: place.placeName,
    tankId: row.tank_id,
    currency,
    purchaseOrder: place.purchaseOrder,
    tax: taxOf(place, price, row.day),
    name: row.description || (price?.name ?? ''),
    quantity: row.quantity,
    unit: price?.unit ?? '',
    unitPrice: price?.unitPrice ?? null,
  }
}

/** The payer's own treatment before the price's, before the business's. */
function taxOf(place: ReturnType<PayerBook['placeOf']>, price: ListedPrice | null, day: string) {
  if (place.payersOwnTax || price === null) return place.tax === null ? null : datedTax(place.tax, null)
  return datedTax(price.tax, price.validFrom <= day ? price.validFrom : null)
}
