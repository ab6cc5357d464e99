import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Actor, inBusiness } from '../frame/actor'
import { readAccount } from './account-page'
import { type AccountantLine, accountantCsv } from './accountant-csv'
import { basisOf, type ListedPayment, readPayments } from './books-page'
import { type Columns, csvText, decimal, type FileDecimals, money, text } from './csv-file'
import { type ClientBalance, readDebtors } from './ledger'
import { lineTaxes, type Period, sumTax, type TaxBasis, type TaxSum } from './tax-report'

const ROWS_AT_A_TIME = 1000
/** A document has several lines, and what is written of a piece keeps everybody else waiting. */
const DOCUMENTS_AT_A_TIME = 200

/** The rows of a piece, none behind the last one. Null: what is asked about is not there. */
type Read<Row> = (tx: Transaction, piece: number) => Promise<Row[] | null>

/**
 * A file piece by piece, for it may be larger than memory: as many rows at a time as one transaction reads quickly.
 * Without any piece where what it is about is not there.
 */
async function* inPieces<Row>(
  actor: Actor,
  read: Read<Row>,
  write: (rows: Row[], options: { isFirst: boolean; decimals: FileDecimals }) => string,
): AsyncGenerator<string> {
  for (let piece = 0; ; piece += 1) {
    const { rows, decimals } = await inBusiness(actor, async (tx) => {
      const { fileDecimals } = await tx.business.findUniqueOrThrow({
        where: { id: actor.businessId },
        select: { fileDecimals: true },
      })
      const chosen: FileDecimals = fileDecimals === 'comma' ? 'comma' : 'point'
      return { rows: await read(tx, piece), decimals: chosen }
    })
    if (!rows || (piece > 0 && rows.length === 0)) return
    yield write(rows, { isFirst: piece === 0, decimals })
  }
}

const atOnce = <Row>(read: (tx: Transaction) => Promise<Row[] | null>): Read<Row> => {
  return async (tx, piece) => (piece === 0 ? read(tx) : [])
}

/** The accountant's file of all documents issued in a period, one row for each line. */
export function accountantFile(actor: Actor, period: Period): AsyncGenerator<string> {
  const { businessId } = actor
  // So many documents at a time: the tax of a line is reckoned from all lines of its document.
  const picked = (piece: number) => Prisma.sql`
    SELECT id, number, document_type, corrects_invoice_id, issued_on, due_on, buyer, purchase_order, currency
    FROM invoice WHERE business_id = ${businessId}::uuid AND state = 'issued' AND issued_on BETWEEN ${period.from}::date AND ${period.to}::date
    ORDER BY issued_on, document_type DESC, number, id LIMIT ${DOCUMENTS_AT_A_TIME} OFFSET ${piece * DOCUMENTS_AT_A_TIME}`
  return inPieces<AccountantLine>(
    actor,
    (tx, piece) => tx.$queryRaw`
      WITH head AS MATERIALIZED (${picked(piece)}),
      taxed AS MATERIALIZED (SELECT id, sum(tax_minor) AS tax_minor FROM (${lineTaxes(businessId, Prisma.sql`SELECT id FROM head`)}) AS apart GROUP BY id)
      SELECT head.number AS "documentNumber", head.document_type AS "documentType", COALESCE(credited.number, '') AS "creditsNumber",
        head.issued_on::text AS "issueDate", COALESCE(head.due_on::text, '') AS "dueDate", COALESCE(head.buyer ->> 'name', '') AS "clientName",
        COALESCE(head.buyer ->> 'taxNumber', '') AS "clientTaxNumber", COALESCE(NULLIF(line.purchase_order, ''), head.purchase_order) AS "purchaseOrder",
        line.position AS "lineNumber", line.description, line.place_name AS "placeName", COALESCE(line.service_start::text, '') AS "serviceStart",
        COALESCE(line.service_end::text, '') AS "serviceEnd", trim_scale(line.quantity)::text AS quantity, line.unit,
        trim_scale(line.unit_price)::text AS "unitPrice", line.net_minor AS "netMinor", taxed.tax_minor::float8 AS "taxMinor",
        line.tax_category AS "taxCategory", trim_scale(line.tax_rate)::text AS "ratePercent", line.tax_exemption_reason AS "exemptionReason", head.currency
      FROM head
      CROSS JOIN LATERAL (SELECT * FROM invoice_line WHERE business_id = ${businessId}::uuid AND invoice_id = head.id OFFSET 0) line
      JOIN taxed ON taxed.id = line.id
      LEFT JOIN invoice credited ON credited.business_id = ${businessId}::uuid AND credited.id = head.corrects_invoice_id
      ORDER BY head.issued_on, head.document_type DESC, head.number, line.position, line.id`,
    accountantCsv,
  )
}

const PAYMENT_COLUMNS: Columns<ListedPayment> = [
  ['received', (row) => text(row.receivedOn)],
  ['client', (row) => text(row.clientName)],
  ['method', (row) => text(row.method)],
  ['reference', (row) => text(row.reference)],
  ['settles', (row) => text(row.settles)],
  ['amount', (row) => money(row.amountMinor, row.currency)],
  ['in hand when received', (row) => money(row.inHandMinor, row.currency)],
  ['currency', (row) => text(row.currency)],
]

/** Payments received in a period; money given back is negative. The amounts add up to the screen's sum. */
export function paymentsFile(actor: Actor, period: Period): AsyncGenerator<string> {
  return inPieces<ListedPayment>(
    actor,
    (tx, piece) => readPayments(tx, actor.businessId, period, { skip: piece * ROWS_AT_A_TIME, take: ROWS_AT_A_TIME }),
    (rows, options) => csvText(PAYMENT_COLUMNS, rows, options),
  )
}

const debtorColumns = (asAt: string): Columns<ClientBalance> => {
  const aged = (place: 0 | 1 | 2 | 3 | 4) => (row: ClientBalance) => money(row.agedMinor[place], row.currency)
  return [
    ['as at', () => text(asAt)],
    ['client', (row) => text(row.clientName)],
    ['not yet due', aged(0)],
    ['1 to 30 days past due', aged(1)],
    ['31 to 60 days past due', aged(2)],
    ['61 to 90 days past due', aged(3)],
    ['over 90 days past due', aged(4)],
    ['outstanding', (row) => money(row.outstandingMinor, row.currency)],
    ['credit in hand', (row) => money(row.inHandMinor, row.currency)],
    ['balance', (row) => money(row.debtorsMinor, row.currency)],
    ['currency', (row) => text(row.currency)],
  ]
}

/** Who owed what as at a day, by how long it was overdue then. */
export function debtorsFile(actor: Actor, asAt: string): AsyncGenerator<string> {
  const columns = debtorColumns(asAt)
  return inPieces<ClientBalance>(
    actor,
    atOnce(async (tx) => (await readDebtors(tx, { businessId: actor.businessId, asAt, page: 'all' })).clients),
    (rows, options) => csvText(columns, rows, options),
  )
}

const TAX_COLUMNS: Columns<TaxSum & Period & { basis: TaxBasis }> = [
  ['from', (row) => text(row.from)],
  ['to', (row) => text(row.to)],
  ['reported by', (row) => text(TAX_BASIS_WORDS[row.basis])],
  ['tax category', (row) => text(row.category)],
  ['tax name', (row) => text(row.words)],
  ['tax rate', (row) => decimal(row.ratePercent)],
  ['taxed amount', (row) => money(row.taxableMinor, row.currency)],
  // A net under several named taxes stands here once, so that the column adds up.
  ['net', (row) => money(row.netMinor, row.currency)],
  ['tax', (row) => money(row.taxMinor, row.currency)],
  ['currency', (row) => text(row.currency)],
]

export const TAX_BASIS_WORDS: Record<TaxBasis, string> = {
  issue: 'date of the invoice',
  service: 'last day of the service',
  cash: 'payments received',
}

/** Tax of a period by category and rate. */
export function taxFile(actor: Actor, period: Period, basis: TaxBasis | undefined): AsyncGenerator<string> {
  const { businessId } = actor
  return inPieces<TaxSum & Period & { basis: TaxBasis }>(
    actor,
    atOnce(async (tx) => {
      const { taxBasis, country } = await tx.business.findUniqueOrThrow({
        where: { id: businessId },
        select: { taxBasis: true, country: true },
      })
      const by = basis ?? basisOf(taxBasis)
      const sums = await sumTax(tx, { businessId, country, period, basis: by })
      return sums.map((sum) => ({ ...sum, ...period, basis: by }))
    }),
    (rows, options) => csvText(TAX_COLUMNS, rows, options),
  )
}

type StatementRow = NonNullable<Awaited<ReturnType<typeof statementRows>>>[number]

async function statementRows(tx: Transaction, actor: Actor, clientId: string, period: Period) {
  const account = await readAccount(tx, actor.businessId, clientId, period)
  if (!account) return null
  const { clientName } = account
  return account.currencies.flatMap(({ currency, openingMinor, entries, closingMinor }) => [
    {
      clientName,
      currency,
      day: period.from,
      what: 'opening balance',
      amountMinor: openingMinor,
      balanceMinor: openingMinor,
    },
    ...entries.map((entry) => ({
      ...{ clientName, currency, day: entry.day, amountMinor: entry.amountMinor, balanceMinor: entry.balanceMinor },
      what: [KINDS[entry.kind], entry.what].filter(Boolean).join(' '),
    })),
    { clientName, currency, day: period.to, what: 'closing balance', amountMinor: null, balanceMinor: closingMinor },
  ])
}

const KINDS = { invoice: 'invoice', credit_note: 'credit note', payment: 'payment', refund: 'refund' } as const

const STATEMENT_COLUMNS: Columns<StatementRow> = [
  ['day', (row) => text(row.day)],
  ['client', (row) => text(row.clientName)],
  ['what', (row) => text(row.what)],
  ['amount', (row) => (row.amountMinor === null ? text('') : money(row.amountMinor, row.currency))],
  ['balance', (row) => money(row.balanceMinor, row.currency)],
  ['currency', (row) => text(row.currency)],
]

/** A client's account in a period, no piece where there is no such client; opening balance and amounts add up to the closing balance. */
export function statementFile(actor: Actor, clientId: string, period: Period): AsyncGenerator<string> {
  return inPieces<StatementRow>(
    actor,
    atOnce((tx) => statementRows(tx, actor, clientId, period)),
    (rows, options) => csvText(STATEMENT_COLUMNS, rows, options),
  )
}
