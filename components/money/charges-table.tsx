import type { ReactNode } from 'react'
import { Empty, Money } from '@/components/paper'
import { DataTable } from '@/components/tables'

export type ChargeRow = {
  id: string
  what: string
  openMinor: number
  waivedMinor: number
  overMinor: number
  /** Why it stands so, in plain words. */
  why: string
}

type Props<Row extends ChargeRow> = {
  caption: string
  rows: readonly Row[]
  currency: string
  locale: string
  /** What can be done about one. */
  act: ((row: Row) => ReactNode) | null
}

/** What is open, waived or billed too much of one tank, each with the reason. */
export function ChargesTable<Row extends ChargeRow>({ caption, rows, currency, locale, act }: Props<Row>) {
  const amount = (of: (row: Row) => number) => (row: Row) =>
    of(row) === 0 ? '–' : <Money minor={of(row)} currency={currency} locale={locale} />
  return (
    <DataTable
      caption={caption}
      captionHidden
      rows={rows}
      rowKey={({ id }) => id}
      empty={<Empty title="Everything is billed">Nothing is open here.</Empty>}
      columns={[
        { key: 'what', header: 'What', cell: ({ what }) => what },
        { key: 'open', header: 'Open to bill', numeric: true, cell: amount(({ openMinor }) => openMinor) },
        { key: 'waived', header: 'Waived', numeric: true, cell: amount(({ waivedMinor }) => waivedMinor) },
        { key: 'over', header: 'Billed too much', numeric: true, cell: amount(({ overMinor }) => overMinor) },
        { key: 'why', header: 'Why', cell: ({ why }) => why },
        ...(act ? [{ key: 'act', header: 'Change', bare: true, cell: act }] : []),
      ]}
    />
  )
}
