import { Money, Sheet } from '../paper'
import { DataTable } from '../tables'

type Figure = { count: number; minor: number }
type Props = {
  money: { drafts: Figure; unpaidPastDue: Figure; paidThisMonth: Figure }
  currency: string
  locale: string
}

/** The three figures of the day; each leads to the invoices behind it. */
export function MoneySheet({ money, currency, locale }: Props) {
  const rows = [
    { id: 'drafts', label: 'Drafts to issue', figure: money.drafts, href: '/money', isCall: false },
    {
      id: 'unpaid',
      label: 'Unpaid past the day to pay',
      figure: money.unpaidPastDue,
      href: '/money',
      isCall: money.unpaidPastDue.count > 0,
    },
    { id: 'paid', label: 'Paid this month', figure: money.paidThisMonth, href: '/money', isCall: false },
  ]
  return (
    <Sheet title="Money">
      <DataTable
        caption="Money today"
        captionHidden
        rows={rows}
        rowHref={(row) => row.href}
        columns={[
          { key: 'what', header: 'What', cell: (row) => row.label },
          {
            key: 'count',
            header: 'How many',
            numeric: true,
            cell: (row) => <span className={row.isCall ? 'call' : undefined}>{row.figure.count}</span>,
          },
          {
            key: 'sum',
            header: `Sum, ${currency}`,
            numeric: true,
            cell: (row) => <Money minor={row.figure.minor} currency={currency} locale={locale} plain />,
          },
        ]}
      />
    </Sheet>
  )
}
