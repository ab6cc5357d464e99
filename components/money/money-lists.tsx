import { DateWords, Empty, Money } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { periodWords, StandingWords } from './money-words'

export type DraftRow = {
  id: string
  documentType: 'invoice' | 'credit_note'
  clientName: string
  serviceStart: string | null
  serviceEnd: string | null
  currency: string
  grossMinor: number
  lines: number
  blocking: readonly string[]
  isStale: boolean
  sinceLast: { number: string; differenceMinor: number; reasons: readonly string[] } | null
}

/** Drafts with what stands in their way. */
export function DraftList({ drafts, locale }: { drafts: readonly DraftRow[]; locale: string }) {
  return (
    <DataTable
      caption="Drafts"
      captionHidden
      rows={drafts}
      rowHref={(draft) => `/money/${draft.id}`}
      empty={<Empty title="No drafts">They are made from the work below.</Empty>}
      columns={[
        {
          key: 'client',
          header: 'Client',
          cell: (draft) => (draft.documentType === 'invoice' ? draft.clientName : `${draft.clientName}, credit note`),
        },
        {
          key: 'service',
          header: 'Service',
          cell: (draft) => periodWords(draft.serviceStart, draft.serviceEnd, locale),
        },
        {
          key: 'state',
          header: 'Status',
          cell: ({ blocking, isStale }) => {
            if (blocking.length > 0) return <span className="call">{blocking[0]}</span>
            return isStale ? <span className="call">The records have changed since</span> : 'Ready to issue'
          },
        },
        {
          key: 'since',
          header: 'Since the last invoice',
          cell: (draft) => <SinceLast draft={draft} locale={locale} />,
        },
        {
          key: 'total',
          header: 'Total',
          numeric: true,
          cell: (draft) => <Money minor={draft.grossMinor} currency={draft.currency} locale={locale} />,
        },
      ]}
    />
  )
}

function SinceLast({ draft, locale }: { draft: DraftRow; locale: string }) {
  const { sinceLast, currency } = draft
  if (draft.documentType === 'credit_note') return null
  if (!sinceLast) return 'First invoice'
  const { number, differenceMinor, reasons } = sinceLast
  if (differenceMinor === 0 && reasons.length === 0) return `As ${number}`
  return (
    <>
      <Money minor={Math.abs(differenceMinor)} currency={currency} locale={locale} /> net{' '}
      {differenceMinor < 0 ? 'less' : 'more'} than {number}
      {reasons.length > 0 && <span className="soft"> {reasons.join(', ')}</span>}
    </>
  )
}

export type UnbilledRow = {
  payerId: string
  payerName: string
  purchaseOrder: string | null
  currency: string
  netMinor: number
  /** The first of so many. */
  lines: readonly { description: string; placeName: string; netMinor: number }[]
  lineCount: number
  problems: readonly { message: string; blocking: boolean }[]
}

/** Unbilled work, one payer after the other; each opens to the lines it would have. */
export function UnbilledList({ groups, locale }: { groups: readonly UnbilledRow[]; locale: string }) {
  if (groups.length === 0)
    return <Empty title="Everything is billed">Visits, parts and fees come here as they are done.</Empty>
  return groups.map((group) => (
    <details className="unbilled" key={`${group.payerId} ${group.currency} ${group.purchaseOrder ?? ''}`}>
      <summary>
        <span>
          {group.payerName || 'Nobody yet'}
          {group.purchaseOrder && <span className="soft">, order {group.purchaseOrder}</span>}
          {group.problems.some(({ blocking }) => blocking) && <span className="call"> · needs a look</span>}
        </span>
        <span className="unbilled-net">
          <Money minor={group.netMinor} currency={group.currency} locale={locale} /> net
        </span>
      </summary>
      <p>
        <PageLink href={`/money/charges?client=${group.payerId}`}>Billed, open and waived, tank by tank</PageLink>
      </p>
      <ul className="unbilled-lines">
        {group.lines.map((line, index) => (
          // Two call-outs of one day may read alike: the place in the list is all that tells them apart.
          // biome-ignore lint/suspicious/noArrayIndexKey: see above
          <li key={index}>
            <span>
              {line.description} <span className="soft">{line.placeName}</span>
            </span>
            <span className="unbilled-net">
              <Money minor={line.netMinor} currency={group.currency} locale={locale} />
            </span>
          </li>
        ))}
      </ul>
      {group.lineCount > group.lines.length && (
        <p className="soft">and {group.lineCount - group.lines.length} more, listed on the page above.</p>
      )}
      <Checks issues={group.problems} />
    </details>
  ))
}

/** What to put right or to look at, the blocking things first. */
export function Checks({ issues }: { issues: readonly { message: string; blocking: boolean }[] }) {
  const sorted = [...issues].sort((first, second) => Number(second.blocking) - Number(first.blocking))
  if (sorted.length === 0) return null
  return (
    <ul className="checks">
      {sorted.map(({ message, blocking }) => (
        <li key={message} data-blocking={blocking || undefined}>
          {blocking && <b>First: </b>}
          {message}
        </li>
      ))}
    </ul>
  )
}

export type InvoiceRow = {
  id: string
  number: string
  clientName: string
  issuedOn: string
  dueOn: string | null
  currency: string
  grossMinor: number
  outstandingMinor: number
  state: string | null
  daysLate: number
}

/** Issued documents, newest first. */
export function InvoiceList({ invoices, locale }: { invoices: readonly InvoiceRow[]; locale: string }) {
  const day = (date: string | null) => (date === null ? null : <DateWords date={date} style="date" locale={locale} />)
  return (
    <DataTable
      caption="Invoices and credit notes"
      captionHidden
      rows={invoices}
      rowHref={(invoice) => `/money/${invoice.id}`}
      rowTone={(invoice) => (invoice.daysLate > 0 ? 'call' : undefined)}
      empty={<Empty title="None like this">Issued invoices are listed here.</Empty>}
      columns={[
        { key: 'number', header: 'Number', cell: ({ number }) => number },
        { key: 'client', header: 'Client', cell: ({ clientName }) => clientName },
        { key: 'issued', header: 'Date', cell: ({ issuedOn }) => day(issuedOn) },
        { key: 'due', header: 'Due', cell: ({ dueOn }) => day(dueOn) },
        { key: 'state', header: 'Status', cell: (invoice) => <StandingWords {...invoice} locale={locale} /> },
        {
          key: 'total',
          header: 'Total',
          numeric: true,
          cell: (invoice) => <Money minor={invoice.grossMinor} currency={invoice.currency} locale={locale} />,
        },
        {
          key: 'open',
          header: 'Outstanding',
          numeric: true,
          cell: ({ outstandingMinor, currency }) =>
            outstandingMinor > 0 ? <Money minor={outstandingMinor} currency={currency} locale={locale} /> : '–',
        },
      ]}
    />
  )
}
