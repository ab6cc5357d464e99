import { DateWords, Empty, Facts, Money } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'

type Balance = {
  currency: string
  outstandingMinor: number
  openCount: number
  overdueMinor: number
  overdueCount: number
  inHandMinor: number
  debtorsMinor: number
  agedMinor: readonly number[]
}

/** What is owed, what is in hand, and what is left of both: the same lines wherever a balance is shown. `hrefs` lead to the papers behind. */
export function BalanceFacts({
  balances,
  locale,
  hrefs = {},
}: {
  balances: readonly Balance[]
  locale: string
  hrefs?: { open?: string; late?: string; account?: string }
}) {
  const link = (words: string, href: string | undefined) => (href ? <PageLink href={href}>{words}</PageLink> : words)
  return balances.map((balance) => {
    const amount = (minor: number) => <Money minor={minor} currency={balance.currency} locale={locale} />
    return (
      <Facts
        key={balance.currency}
        numbers
        items={[
          {
            key: 'open',
            term: link(`Outstanding, ${balance.openCount}`, hrefs.open),
            value: amount(balance.outstandingMinor),
          },
          {
            key: 'late',
            term: link(`Overdue, ${balance.overdueCount}`, hrefs.late),
            value: amount(balance.overdueMinor),
          },
          { key: 'hand', term: link('Credit in hand', hrefs.account), value: amount(balance.inHandMinor) },
          { key: 'owed', term: link('Balance', hrefs.account), value: <b>{amount(balance.debtorsMinor)}</b> },
        ]}
      />
    )
  })
}

const AGES = ['Not yet due', '1 to 30 days', '31 to 60', '61 to 90', 'Over 90'] as const

type ClientBalance = Balance & { clientId: string; clientName: string }
type AgedProps = { clients: readonly ClientBalance[]; balances: readonly Balance[]; asAt: string; locale: string }

/** Who owes what, by how long it is overdue; each row leads to the client's account. The foot is of all clients, not of this page. */
export function AgedTable({ clients, balances, asAt, locale }: AgedProps) {
  const [only, ...others] = balances
  const foot = (of: (balance: Balance) => number) =>
    only && others.length === 0 ? <Money minor={of(only)} currency={only.currency} locale={locale} /> : undefined
  const column = (key: string, header: string, of: (balance: Balance) => number) => ({
    key,
    header,
    numeric: true,
    cell: (row: ClientBalance) => <Money minor={of(row)} currency={row.currency} locale={locale} />,
    foot: foot(of),
  })
  return (
    <DataTable
      caption="Debtors by days past the due date"
      captionHidden
      rows={clients}
      rowKey={(row) => `${row.clientId} ${row.currency}`}
      rowHref={({ clientId }) => `/books/clients/${clientId}?to=${asAt}`}
      empty={<Empty title="Nobody owes anything" />}
      columns={[
        { key: 'client', header: 'Client', cell: ({ clientName }) => clientName, foot: 'Total' },
        ...AGES.map((age, place) => column(age, age, ({ agedMinor }) => agedMinor[place] ?? 0)),
        column('outstanding', 'Outstanding', ({ outstandingMinor }) => outstandingMinor),
        column('hand', 'Credit in hand', ({ inHandMinor }) => inHandMinor),
        column('balance', 'Balance', ({ debtorsMinor }) => debtorsMinor),
      ]}
    />
  )
}

type Entry = { id: string; kind: string; day: string; what: string; amountMinor: number; balanceMinor: number }
type AccountProps = {
  account: { currency: string; openingMinor: number; entries: readonly Entry[]; closingMinor: number }
  period: { from: string; to: string }
  locale: string
}

const KINDS: Record<string, string> = {
  invoice: 'Invoice',
  credit_note: 'Credit note',
  payment: 'Payment',
  refund: 'Refund',
}
const hrefOf = ({ id, kind }: Entry) =>
  kind === 'payment' || kind === 'refund' ? `/books/payments/${id}` : kind === '' ? undefined : `/money/${id}`

/** A client's account from its opening to its closing balance; each entry leads to its paper. */
export function AccountTable({ account, period, locale }: AccountProps) {
  const amount = (minor: number) => <Money minor={minor} currency={account.currency} locale={locale} />
  const edge = (id: string, day: string, what: string, balanceMinor: number): Entry => ({
    ...{ id, kind: '', day, what, amountMinor: 0, balanceMinor },
  })
  const rows = [
    edge('opening', period.from, 'Opening balance', account.openingMinor),
    ...account.entries,
    edge('closing', period.to, 'Closing balance', account.closingMinor),
  ]
  return (
    <DataTable
      caption={`Statement of account in ${account.currency}`}
      captionHidden
      rows={rows}
      rowHref={hrefOf}
      columns={[
        { key: 'what', header: 'What', cell: ({ kind, what }) => [KINDS[kind], what].filter(Boolean).join(' ') },
        { key: 'day', header: 'Date', cell: ({ day }) => <DateWords date={day} style="date" locale={locale} /> },
        {
          key: 'amount',
          header: 'Amount',
          numeric: true,
          cell: (row) => (row.kind === '' ? '' : amount(row.amountMinor)),
        },
        { key: 'balance', header: 'Balance', numeric: true, cell: ({ balanceMinor }) => amount(balanceMinor) },
      ]}
    />
  )
}
