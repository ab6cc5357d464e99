import { Money } from '@/components/paper'

type Change = { what: string; dueMinor: number; billedMinor: number }
type Props = { changes: readonly Change[]; currency: string; locale: string }

/** What the records say otherwise by now than a draft. */
export function DraftChanges({ changes, currency, locale }: Props) {
  const amount = (minor: number) => <Money minor={minor} currency={currency} locale={locale} />
  return (
    <ul>
      {changes.map(({ what, dueMinor, billedMinor }) => (
        <li key={what}>
          {what}: now {amount(dueMinor)}, billed {amount(billedMinor)}.
        </li>
      ))}
    </ul>
  )
}
