import { Money } from '@/components/paper'
import { PageLink } from '@/components/shell'

type Over = {
  key: { kind: string; subjectId: string; period: string }
  what: string
  payerName: string
  overMinor: number
  invoiceId: string
  invoiceNumber: string
}
type Props = { over: readonly Over[]; currency: string; locale: string }

/** Invoices that bill more than is due by the records of today; the owner decides whether to credit it. */
export function OverBilledList({ over, currency, locale }: Props) {
  return (
    <ul>
      {over.map(({ key, what, payerName, overMinor, invoiceId, invoiceNumber }) => (
        <li key={`${key.kind} ${key.subjectId} ${key.period} ${invoiceId}`}>
          <Money minor={overMinor} currency={currency} locale={locale} /> for {what}, {payerName}.{' '}
          <PageLink href={`/money/${invoiceId}`}>Credit it on {invoiceNumber}</PageLink>
        </li>
      ))}
    </ul>
  )
}
