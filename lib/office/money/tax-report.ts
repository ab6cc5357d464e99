import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { countryWords } from './country-words'
import { standingAllocations } from './ledger'
import { readTaxCategory, TAX_CATEGORIES, type TaxCategory } from './tax'

/** When tax is reported: with the document, with the last day of its service, or as money settles it. */
export const TAX_BASES = ['issue', 'service', 'cash'] as const
export type TaxBasis = (typeof TAX_BASES)[number]

/** Both days included. */
export type Period = { from: string; to: string }

export type TaxSum = {
  currency: string
  category: TaxCategory
  /** Of a named tax (a state's, a city's) its name; blank for the others. */
  name: string
  words: string
  ratePercent: string
  /** What is taxed by it. The same net may lie under several named taxes. */
  taxableMinor: number
  /** The same, but a net under several named taxes counts under the first of its line only: adds up to the net of the documents. */
  netMinor: number
  taxMinor: number
}

/** One document's part of such a sum; a credit note's is negative. */
type TaxDocument = {
  id: string
  number: string
  issuedOn: string
  clientName: string
  taxableMinor: number
  taxMinor: number
}

type Asked = { businessId: string; period: Period; basis: TaxBasis }

/** What a sum of tax is called in the business's country: "VAT", "Zero rated", of a named tax its name. */
export const taxSumWords = (country: string, { category, name }: { category: TaxCategory; name: string }) =>
  name || countryWords(country).categories[category]

/** Tax by currency, category, rate and name. Credit notes are taken off. */
export async function sumTax(tx: Transaction, { country, ...asked }: Asked & { country: string }): Promise<TaxSum[]> {
  const rows = await tx.$queryRaw<Omit<TaxSum, 'words'>[]>`
    SELECT currency, category, trim_scale(rate)::text AS "ratePercent", name, sum(taxable)::float8 AS "taxableMinor", sum(net)::float8 AS "netMinor",
      sum(tax)::float8 AS "taxMinor"
    FROM (${taxRows(asked)}) AS part GROUP BY currency, category, rate, name HAVING sum(abs(taxable)) <> 0 ORDER BY currency, rate, name`
  return rows
    .map((row) => ({ ...row, words: taxSumWords(country, { ...row, category: readTaxCategory(row.category) }) }))
    .sort((a, b) => (a.currency === b.currency ? orderOf(a) - orderOf(b) : 0))
}

const orderOf = ({ category }: { category: TaxCategory }) => TAX_CATEGORIES.indexOf(category)

export const TAX_DOCUMENTS_PER_PAGE = 50

/** The documents behind one of these sums, a page in the order of their numbers. Which they are is found first: only theirs is reckoned. */
export async function taxDocuments(
  tx: Transaction,
  asked: Asked & { currency: string; category: TaxCategory; ratePercent: string; name: string; page: number },
): Promise<{ documents: TaxDocument[]; total: number }> {
  const ofSum = Prisma.sql`currency = ${asked.currency} AND category = ${asked.category} AND rate = ${asked.ratePercent}::numeric AND name = ${asked.name}`
  const listed = await tx.$queryRaw<{ id: string; total: number }[]>`
    SELECT document_id AS id, count(*) OVER ()::int AS total FROM (${taxRows(asked)}) AS part WHERE ${ofSum}
    GROUP BY document_id ORDER BY document_id LIMIT ${TAX_DOCUMENTS_PER_PAGE} OFFSET ${(asked.page - 1) * TAX_DOCUMENTS_PER_PAGE}`
  const ids = listed.map(({ id }) => id)
  const documents = await tx.$queryRaw<TaxDocument[]>`
    SELECT part.*, whole.number, whole.issued_on::text AS "issuedOn", COALESCE(whole.buyer ->> 'name', '') AS "clientName"
    FROM (SELECT document_id AS id, sum(taxable)::float8 AS "taxableMinor", sum(tax)::float8 AS "taxMinor"
      FROM (${taxRows(asked, ids)}) AS part WHERE ${ofSum} GROUP BY document_id) AS part
    JOIN invoice whole ON whole.business_id = ${asked.businessId}::uuid AND whole.id = part.id
    ORDER BY whole.issued_on, whole.number`
  return { documents, total: listed[0]?.total ?? 0 }
}

const SIGN = Prisma.sql`CASE i.document_type WHEN 'credit_note' THEN -1 ELSE 1 END`
/** The groups of a document's tax as columns: read out of their JSON once, however often a figure is used. */
const groupsOf = (breakdown: Prisma.Sql) => Prisma.sql`CROSS JOIN LATERAL jsonb_to_recordset(${breakdown})
  AS part (category text, "ratePercent" numeric, name text, "taxableMinor" numeric, "taxMinor" numeric)`
const GROUPS = groupsOf(Prisma.sql`i.tax_breakdown`)
const CATEGORY = Prisma.sql`part.category, COALESCE(part."ratePercent", 0) AS rate, COALESCE(part.name, '') AS name`
const TAXABLE = Prisma.sql`part."taxableMinor"`
const TAX = Prisma.sql`part."taxMinor"`
/** A group's taxable amount, of a named tax only of those lines on which it stands first. */
const NET = Prisma.sql`CASE WHEN part.name IS NULL THEN ${TAXABLE} ELSE (SELECT COALESCE(sum(own.net_minor), 0) FROM invoice_line own
  WHERE own.business_id = i.business_id AND own.invoice_id = i.id AND own.tax_category = part.category
    AND own.tax_parts -> 0 ->> 'name' = part.name AND (own.tax_parts -> 0 ->> 'ratePercent')::numeric = part."ratePercent") END`

/**
 * The day of a `line` of `i` in a report by service. A credit note lessens the tax from its own day on: what was reported for the service
 * before stays as it was reported.
 */
const TAX_POINT = Prisma.sql`CASE i.document_type WHEN 'credit_note' THEN GREATEST(line.service_end, i.issued_on) ELSE COALESCE(line.service_end, i.issued_on) END`

/** Rows of (document, currency, category, rate, name, taxable, net, tax), all of which add up to the report; or those of these documents. */
function taxRows({ businessId, period: { from, to }, basis }: Asked, ids?: readonly string[]): Prisma.Sql {
  const within: Within = (day) => Prisma.sql`${day} BETWEEN ${from}::date AND ${to}::date`
  const only = ids === undefined ? Prisma.empty : Prisma.sql`AND i.id = ANY (${ids}::uuid[])`
  const these = ids === undefined ? null : Prisma.sql`SELECT unnest(${ids}::uuid[]) AS invoice_id`
  if (basis === 'issue')
    return Prisma.sql`
      SELECT i.id AS document_id, i.currency, ${CATEGORY}, ${SIGN} * ${TAXABLE} AS taxable, ${SIGN} * ${NET} AS net,
        ${SIGN} * ${TAX} AS tax
      FROM invoice i ${GROUPS}
      WHERE i.business_id = ${businessId}::uuid AND i.state = 'issued' AND ${within(Prisma.sql`i.issued_on`)} ${only}`
  if (basis === 'service')
    return Prisma.sql`
      SELECT document_id, currency, category, rate, name, sign * net_minor AS taxable, CASE WHEN is_first THEN sign * net_minor ELSE 0 END AS net,
        sign * tax_minor AS tax
      FROM (${lineTaxes(
        businessId,
        these ?? servedIn(businessId, within),
      )}) AS line WHERE ${within(Prisma.sql`tax_point`)}`
  // Money and credit notes settle an invoice one after the other; of each step its share of every rate, rounded so that all steps add up to
  // the invoice's own figures. A credit note itself counts by its own rates on its day.
  const share = (of: Prisma.Sql) =>
    Prisma.sql`round(step.upto * ${of} / i.gross_minor) - round((step.upto - step.amount) * ${of} / i.gross_minor)`
  return Prisma.sql`
    SELECT i.id AS document_id, i.currency, ${CATEGORY},
      ${share(TAXABLE)} AS taxable, ${share(NET)} AS net, ${share(TAX)} AS tax
    FROM (SELECT *, sum(amount) OVER (PARTITION BY invoice_id ORDER BY on_day, id) AS upto FROM (${settlingSteps(businessId, these ?? touchedBy(businessId, within))}) AS settling) AS step
    JOIN invoice i ON i.business_id = ${businessId}::uuid AND i.id = step.invoice_id AND i.gross_minor <> 0 ${GROUPS}
    WHERE ${within(Prisma.sql`step.on_day`)} ${only}
    UNION ALL
    SELECT i.id, i.currency, ${CATEGORY}, -${TAXABLE}, -(${NET}), -${TAX} FROM invoice i ${GROUPS}
    WHERE i.business_id = ${businessId}::uuid AND i.state = 'issued' AND i.document_type = 'credit_note' AND ${within(Prisma.sql`i.issued_on`)} ${only}`
}

type Within = (day: Prisma.Sql) => Prisma.Sql

/** Every document of which a line may count by service within a period: its tax point is the day of its service, or of the document. */
const servedIn = (businessId: string, within: Within) => Prisma.sql`
  SELECT invoice_id FROM invoice_line WHERE business_id = ${businessId}::uuid AND ${within(Prisma.sql`service_end`)}
  UNION SELECT id FROM invoice WHERE business_id = ${businessId}::uuid AND state = 'issued' AND ${within(Prisma.sql`issued_on`)}`

/**
 * Every invoice of which something may be settled within a period: a payment came in, credit was moved or a credit note was issued then, or the
 * invoice was, of which something was paid before. What was settled of the others lies outside of it.
 */
const touchedBy = (businessId: string, within: Within) => Prisma.sql`
  SELECT part.invoice_id FROM payment received
  JOIN allocation part ON part.business_id = ${businessId}::uuid AND part.payment_id = received.id
  WHERE received.business_id = ${businessId}::uuid AND ${within(Prisma.sql`received.received_on`)}
  UNION SELECT invoice_id FROM allocation WHERE business_id = ${businessId}::uuid AND ${within(Prisma.sql`moved_on`)}
  UNION SELECT id FROM invoice WHERE business_id = ${businessId}::uuid AND state = 'issued' AND ${within(Prisma.sql`issued_on`)}
  UNION SELECT corrects_invoice_id FROM invoice
  WHERE business_id = ${businessId}::uuid AND document_type = 'credit_note' AND state = 'issued' AND ${within(Prisma.sql`issued_on`)}`

/**
 * What settles these invoices, each with the day from which it counts: none before its invoice is issued. With every credit note, of which there
 * are few: one of another invoice lies outside the period.
 */
const settlingSteps = (businessId: string, invoiceIds: Prisma.Sql) => Prisma.sql`
  SELECT settled.id, settled.invoice_id, settled.amount_minor::numeric AS amount, GREATEST(settled.settled_on, head.issued_on) AS on_day
  FROM (${standingAllocations(businessId)}) AS settled
  JOIN invoice head ON head.business_id = ${businessId}::uuid AND head.id = settled.invoice_id
  WHERE settled.invoice_id IN (${invoiceIds})
  UNION ALL SELECT note.id, note.corrects_invoice_id, note.gross_minor::numeric, note.issued_on FROM invoice note
  WHERE note.business_id = ${businessId}::uuid AND note.state = 'issued' AND note.document_type = 'credit_note'`

/**
 * Lines of these issued documents with the tax of each; a line under several named taxes once for each of them, `is_first` with the first. Tax
 * is reckoned once for each rate (or named tax) of a document (EN 16931, BR-CO-17): a line has its share of that by its net, rounded along the
 * lines so that they add up to it. Document by document (`OFFSET 0` keeps it so), in the order of their ids: the work is that of the documents
 * asked for, however many lines the business has.
 */
export const lineTaxes = (businessId: string, invoiceIds: Prisma.Sql) => Prisma.sql`
  SELECT line.id, line.document_id, line.currency, line.document_type, CASE line.document_type WHEN 'credit_note' THEN -1 ELSE 1 END AS sign,
    line.tax_category AS category, line.rate, line.name, line.is_first, line.net_minor, line.tax_point,
    CASE WHEN ${TAXABLE} = 0 THEN CASE WHEN line.place = 1 THEN ${TAX} ELSE 0 END
      ELSE round(line.upto * ${TAX} / ${TAXABLE}) - round((line.upto - line.net_minor) * ${TAX} / ${TAXABLE}) END AS tax_minor
  FROM (SELECT *, sum(net_minor::numeric) OVER along AS upto, row_number() OVER along AS place
    FROM (SELECT line.*, i.id AS document_id, i.currency, i.document_type, i.tax_breakdown, ${TAX_POINT} AS tax_point,
        COALESCE(named.part ->> 'name', '') AS name, COALESCE((named.part ->> 'ratePercent')::numeric, line.tax_rate) AS rate,
        COALESCE(named.place, 1) = 1 AS is_first
      FROM (SELECT * FROM invoice WHERE business_id = ${businessId}::uuid AND state = 'issued' AND id IN (${invoiceIds}) ORDER BY id OFFSET 0) i
      CROSS JOIN LATERAL (SELECT id, position, tax_category, tax_rate, tax_parts, net_minor, service_end FROM invoice_line
        WHERE business_id = ${businessId}::uuid AND invoice_id = i.id OFFSET 0) line
      LEFT JOIN LATERAL jsonb_array_elements(line.tax_parts) WITH ORDINALITY AS named (part, place) ON true) AS apart
    WINDOW along AS (PARTITION BY document_id, tax_category, rate, name ORDER BY position, id)) AS line
  ${groupsOf(Prisma.sql`line.tax_breakdown`)}
  WHERE part.category = line.tax_category AND COALESCE(part."ratePercent", 0) = line.rate AND COALESCE(part.name, '') = line.name`
