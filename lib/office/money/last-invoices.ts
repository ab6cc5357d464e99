import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { groupBy } from '../frame/group-by'
import type { LastInvoice } from './since-last-invoice'
import type { StoredInvoice } from './stored-document'

type Line = Pick<
  StoredInvoice['invoiceLines'][number],
  'agreementId' | 'visitId' | 'partUsedId' | 'placeName' | 'netMinor'
> & { quantity: { toString(): string } }
type Row = Line & { clientId: string; number: string | null; invoiceMinor: number }

/** A stored line as far as the comparison asks. */
export function lineSinceLast({ agreementId, visitId, partUsedId, placeName, netMinor, quantity }: Line) {
  const kind = agreementId ? 'month' : visitId ? 'visit' : partUsedId ? 'part' : 'other'
  return { kind, placeName, netMinor, quantity: Number(quantity) } as const
}

/** The newest issued invoice of each of these clients, with its lines. */
export async function readLastInvoices(tx: Transaction, businessId: string, clientIds: readonly string[]) {
  const rows = await tx.$queryRaw<Row[]>`
    SELECT newest.client_id AS "clientId", newest.number, newest.net_minor AS "invoiceMinor", line.agreement_id AS "agreementId",
      line.visit_id AS "visitId", line.part_used_id AS "partUsedId", line.place_name AS "placeName", line.net_minor AS "netMinor",
      line.quantity::float8 AS quantity
    FROM (SELECT DISTINCT ON (client_id) * FROM invoice
      WHERE business_id = ${businessId}::uuid AND state = 'issued' AND document_type = 'invoice' AND client_id = ANY (${clientIds}::uuid[])
      ORDER BY client_id, issued_on DESC, issued_at DESC, id DESC) newest
    JOIN invoice_line line ON line.business_id = newest.business_id AND line.invoice_id = newest.id
    ORDER BY line.position, line.id`
  return new Map(
    [...groupBy(rows, ({ clientId }) => clientId)].flatMap(([clientId, lines]): [string, LastInvoice][] => {
      const [first] = lines
      return first
        ? [[clientId, { number: first.number ?? '', netMinor: first.invoiceMinor, lines: lines.map(lineSinceLast) }]]
        : []
    }),
  )
}
