import 'server-only'
import type { Business } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { groupBy } from '../frame/group-by'
import { type Charge, type ChargeKey, type ChargeLine, chargeText } from './charge'
import {
  type AgreementRow,
  type ChargeWindow,
  type HandRow,
  type PartRow,
  readAgreements,
  readChargeLines,
  readCoveredVisits,
  readHandLines,
  readMonths,
  readParts,
  readVisits,
  readWaivers,
  type VisitRow,
  type WaiverRow,
} from './charge-rows'
import type { HandToBill, OpenWork, ToBill } from './draft-pieces'
import { MONTH_RULES } from './month-charge'
import { firstDay, lastDay } from './months'
import { type PayerBook, readPayerBook } from './payer-book'
import { datedTax, type ListedPrice, partPriceAt, rateOf, visitPriceAt } from './price-at'
import { readPriceList } from './price-list'
import { settleWork } from './settle-work'
import { readTaxCategory } from './tax'
import { storedTaxParts } from './tax-parts'
import type { PartToBill, VisitToBill } from './work-charge'

/** Up to which month is billed, "2026-11"; from when tanks are that never were; of which tanks; the business, where it is read already. */
export type BillingWindow = {
  through: string
  since?: string | undefined
  tankIds?: readonly string[]
  /** With `tankIds`: whose lines by hand, of no tank, too. */
  clientIds?: readonly string[]
  business?: Business
}

/**
 * All charges that may be open, or billed too much, with how each stands, and every standing "never bill". A fixed number of statements,
 * whatever the business's size.
 */
export async function readCharges(
  tx: Transaction,
  businessId: string,
  billing: BillingWindow,
): Promise<OpenWork & { waivers: WaiverRow[] }> {
  const business = billing.business ?? (await tx.business.findUniqueOrThrow({ where: { id: businessId } }))
  const { currency, locale } = business
  const { through, since = null, tankIds = null, clientIds = [] } = billing
  const asked = tankIds && (await homesOf(tx, businessId, tankIds))
  const window = { businessId, lastOn: lastDay(through), since, tankIds: asked?.tankIds ?? null, clientIds }
  const book = await readPayerBook(tx, business, asked?.siteIds ?? null)
  const prices = await readPriceList(tx, businessId)
  const visits = (await readVisits(tx, window)).map((row) => visitToBill(row, book, prices, currency))
  const parts = (await readParts(tx, window)).map((row) => partToBill(row, book, prices, currency))
  const hands = (await readHandLines(tx, window)).map((row) => handToBill(row, book))
  const monthRows = await readMonths(tx, window)
  const homes = [...new Set(monthRows.map(({ tank_id }) => tank_id))]
  const agreements = groupBy(
    (homes.length > 0 ? await readAgreements(tx, businessId, homes) : []).map(agreedOf),
    ({ tankId }) => tankId,
  )
  const keys: ChargeKey[] = [
    ...visits.map(({ id }) => ({ kind: 'visit' as const, subjectId: id, period: '' })),
    ...parts.map(({ id }) => ({ kind: 'part' as const, subjectId: id, period: '' })),
    ...hands.map(({ charge }) => charge),
    ...monthRows.map(({ tank_id, period }) => ({ kind: 'agreement_month' as const, subjectId: tank_id, period })),
  ]
  const lines = await linesByCharge(tx, businessId, keys, book)
  const waivers = await readWaivers(tx, businessId)
  const settled = settleWork({
    months: monthRows.map(({ tank_id: tankId, period }) => ({ tankId, period })),
    agreementsOf: (tankId) => agreements.get(tankId) ?? [],
    payerOn: book.payerOn,
    billableOf: (tankId, clientId, payerId) => {
      const { tax, ...place } = book.placeOf(tankId, clientId, payerId)
      return { ...place, tankId, currency, locale, tax: tax === null ? null : datedTax(tax, null) }
    },
    visits,
    parts,
    hands,
    lines,
    waivers: new Map(waivers.map((row) => [chargeText(row), row.reason])),
    rule: MONTH_RULES.find((known) => known === business.partMonths) ?? 'full',
  })
  const items = await withVisits(tx, window, settled, (row) => visitToBill(row, book, prices, currency))
  const payerIds = new Set(items.flatMap(({ standing }) => standing.payers.map(({ payerId }) => payerId)))
  return { items, payers: book.payers.filter(({ id }) => payerIds.has(id)), waivers }
}

/** What these tanks were merged into (those that were not stay), and every site where one of their family stands, or stood before it was merged. */
async function homesOf(tx: Transaction, businessId: string, tankIds: readonly string[]) {
  const rows = await tx.$queryRaw<{ tankIds: string[]; siteIds: string[] }[]>`
    WITH RECURSIVE home AS (
      SELECT DISTINCT COALESCE(merged_into_id, id) AS id FROM tank WHERE business_id = ${businessId}::uuid AND id = ANY (${tankIds}::uuid[])),
    family AS (
      SELECT id, site_id, merged_into_id FROM tank
      WHERE business_id = ${businessId}::uuid AND (id IN (SELECT id FROM home) OR merged_into_id IN (SELECT id FROM home))
      UNION SELECT kept.id, kept.site_id, kept.merged_into_id
      FROM family JOIN tank kept ON kept.business_id = ${businessId}::uuid AND kept.id = family.merged_into_id),
    place AS (
      SELECT id, merged_into_id FROM site WHERE business_id = ${businessId}::uuid AND id IN (SELECT site_id FROM family)
      UNION SELECT kept.id, kept.merged_into_id
      FROM place JOIN site kept ON kept.business_id = ${businessId}::uuid AND kept.id = place.merged_into_id)
    SELECT ARRAY(SELECT id FROM home) AS "tankIds", ARRAY(SELECT id FROM place) AS "siteIds"`
  return rows[0] ?? { tankIds: [], siteIds: [] }
}

async function linesByCharge(tx: Transaction, businessId: string, keys: readonly ChargeKey[], book: PayerBook) {
  const rows = keys.length > 0 ? await readChargeLines(tx, businessId, keys) : []
  const lines = new Map<string, ChargeLine[]>()
  for (const { clientId, ...row } of rows) {
    const key = chargeText(row)
    const line = { ...row, payerId: book.survivorOf(clientId) }
    const known = lines.get(key)
    if (known) known.push(line)
    else lines.set(key, [line])
  }
  return lines
}

const agreedOf = (row: AgreementRow) => ({
  agreementId: row.id,
  clientId: row.client_id,
  startsOn: row.starts_on,
  endsOn: row.ends_on,
  monthlyFeeMinor: row.monthly_fee_minor,
  purchaseOrder: row.purchase_order,
  tankId: row.home_id,
})

/** Open months with the visits that their fee covers. */
async function withVisits(
  tx: Transaction,
  window: ChargeWindow,
  items: readonly ToBill[],
  toBill: (row: VisitRow) => VisitToBill,
): Promise<ToBill[]> {
  const open = items.flatMap((item) =>
    item.of === 'month' && item.standing.payers.some(({ openMinor }) => openMinor > 0) ? [item.month] : [],
  )
  const first = open.map(({ period }) => period).sort()[0]
  if (first === undefined) return [...items]
  const homes = [...new Set(open.map(({ subjectId }) => subjectId))]
  const rows = await readCoveredVisits(tx, window, homes, firstDay(first))
  const named = groupBy(rows, (row) => `${row.home_id} ${row.day.slice(0, 7)}`)
  return items.map((item) => {
    if (item.of !== 'month') return item
    const { subjectId, period } = item.month
    return { ...item, visits: (named.get(`${subjectId} ${period}`) ?? []).map(toBill) }
  })
}

type Of = { tank_id: string; client_id: string; day: string; purchase_order: string }

function placeOf(row: Of, book: PayerBook) {
  return book.placeOf(row.tank_id, row.client_id, book.payerOn(row.tank_id, row.client_id, row.day))
}

function visitToBill(row: VisitRow, book: PayerBook, prices: ListedPrice[], currency: string): VisitToBill {
  const place = placeOf(row, book)
  const price = visitPriceAt(prices, row.kind, row.day, row.out_of_hours)
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
    purchaseOrder: row.purchase_order || place.purchaseOrder,
    tax: taxOf(place, price, row.day),
    hasFee: row.has_fee,
    billNoAccess: row.bill_no_access,
    outOfHours: row.out_of_hours,
    rate: price && rateOf(price),
  }
}

function partToBill(row: PartRow, book: PayerBook, prices: ListedPrice[], currency: string): PartToBill {
  const place = placeOf(row, book)
  const price = partPriceAt(prices, { priceItemId: row.price_item_id, description: row.description }, row.day)
  return {
    id: row.root_id,
    date: row.day,
    payerId: place.payerId,
    placeName: place.placeName,
    tankId: row.tank_id,
    currency,
    purchaseOrder: row.purchase_order || place.purchaseOrder,
    tax: taxOf(place, price, row.day),
    name: row.description || (price?.name ?? ''),
    quantity: row.quantity,
    billable: row.billable,
    priceItemId: row.price_item_id,
    unit: price?.unit ?? '',
    unitPrice: price?.unitPrice ?? null,
  }
}

function handToBill(row: HandRow, book: PayerBook): { charge: Charge; line: HandToBill } {
  const payerId = book.survivorOf(row.client_id)
  const { service_start: serviceStart, service_end: serviceEnd } = row
  const share = { payerId, dueMinor: row.due_minor, from: serviceStart, to: serviceEnd }
  const tax = {
    category: readTaxCategory(row.tax_category),
    ratePercent: row.tax_rate,
    exemptionReason: row.tax_exemption_reason,
    parts: storedTaxParts(row.tax_parts),
  }
  return {
    charge: { kind: 'hand', subjectId: row.id, period: '', facts: '', shares: [share] },
    line: {
      id: row.id,
      payerId,
      placeName: row.place_name,
      tankId: row.tank_id,
      currency: row.currency,
      purchaseOrder: row.purchase_order || null,
      tax: datedTax(tax, null),
      description: row.description,
      quantity: row.quantity,
      unit: row.unit,
      unitPrice: row.unit_price,
      serviceStart,
      serviceEnd,
    },
  }
}

/** The payer's own treatment before the price's, before the business's. */
function taxOf(place: ReturnType<PayerBook['placeOf']>, price: ListedPrice | null, day: string) {
  if (place.payersOwnTax || price === null) return place.tax === null ? null : datedTax(place.tax, null)
  return datedTax(price.tax, price.validFrom <= day ? price.validFrom : null)
}
