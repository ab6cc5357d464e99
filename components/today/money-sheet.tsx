import { Money, Sheet } from '../paper'
import { PageLink } from '../shell'

type Figure = { count: number; minor: number }
type Props = {
  money: Record<'drafts' | 'open' | 'late' | 'received', Figure>
  currency: string
  locale: string
}

/** The figures of the day in one narrow table; they lead to the invoices behind them. */
export function MoneySheet({ money, currency, locale }: Props) {
  const rows = [
    { label: 'Drafts to issue', figure: money.drafts, isCall: false },
    { label: 'Outstanding', figure: money.open, isCall: false },
    { label: 'Overdue', figure: money.late, isCall: money.late.count > 0 },
    { label: 'Paid this month', figure: money.received, isCall: false },
  ]
  return (
    <Sheet title="Money">
      <table>
        <caption className="visually-hidden">Money today</caption>
        <thead>
          <tr>
            <th scope="col">What</th>
            <th scope="col" className="n">
              How many
            </th>
            <th scope="col" className="n">
              {currency}
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map(({ label, figure, isCall }) => (
            <tr key={label}>
              <td>
                <PageLink href="/money">{label}</PageLink>
              </td>
              <td className={isCall ? 'n call' : 'n'}>{figure.count}</td>
              <td className="n">
                <Money minor={figure.minor} currency={currency} locale={locale} plain />
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Sheet>
  )
}
