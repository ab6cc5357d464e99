import { ButtonLink, DateWords, Empty, Facts, Money, Sheet } from '@/components/paper'
import { PageLink } from '@/components/shell'

type Agreement = {
  id: string
  everyDays: number
  visitMinutes: number
  monthlyFeeMinor: number
  includes: string
  technicianName: string | null
  purchaseOrder: string
  startsOn: string
  endsOn: string | null
}
type Props = {
  tankId: string
  agreement: Agreement | null
  agreements: readonly Agreement[]
  currency: string
  locale: string
  /** Fees are not for everybody. */
  mayChange: boolean
}

/** "Every 2 weeks", "every 10 days". */
export function cadenceWords(everyDays: number): string {
  const weeks = everyDays / 7
  if (everyDays === 1) return 'every day'
  if (everyDays === 7) return 'every week'
  return Number.isInteger(weeks) ? `every ${weeks} weeks` : `every ${everyDays} days`
}

/** What was agreed for a tank now, and before. */
export function AgreementSheet({ tankId, agreement, agreements, currency, locale, mayChange }: Props) {
  const earlier = agreements.filter((row) => row.id !== agreement?.id)
  const day = (date: string) => <DateWords date={date} style="date" locale={locale} />
  return (
    <Sheet title="Agreement">
      {agreement === null ? (
        <Empty title="Nothing agreed">Without an agreement no routine visit comes up for planning.</Empty>
      ) : (
        <Facts
          items={[
            { term: 'A visit', value: `${cadenceWords(agreement.everyDays)}, ${agreement.visitMinutes} minutes` },
            { term: 'Who goes', value: agreement.technicianName ?? 'whoever is near' },
            ...(mayChange
              ? [
                  {
                    term: 'A month',
                    value: <Money minor={agreement.monthlyFeeMinor} currency={currency} locale={locale} />,
                  },
                ]
              : []),
            { term: 'Since', value: day(agreement.startsOn) },
            ...(agreement.endsOn === null ? [] : [{ term: 'Ends', value: day(agreement.endsOn) }]),
            ...(agreement.includes === '' ? [] : [{ term: 'Included', value: agreement.includes }]),
            ...(agreement.purchaseOrder === '' ? [] : [{ term: 'Purchase order', value: agreement.purchaseOrder }]),
          ]}
        />
      )}
      <p>
        <PageLink href={`/tanks/${tankId}/how-often`}>How often to come</PageLink>
      </p>
      {mayChange && (
        <p>
          <PageLink href={`/money/charges?tank=${tankId}`}>What is billed and what is open</PageLink>
        </p>
      )}
      {mayChange && (
        <div className="form-actions">
          <ButtonLink href={`/tanks/${tankId}/agreement`}>
            {agreement === null ? 'Make an agreement' : 'Change the agreement'}
          </ButtonLink>
        </div>
      )}
      {earlier.length > 0 && (
        <details>
          <summary>Before and after: {earlier.length}</summary>
          <ul>
            {earlier.map((row) => (
              <li key={row.id}>
                {day(row.startsOn)} to {row.endsOn === null ? 'further notice' : day(row.endsOn)}:{' '}
                {cadenceWords(row.everyDays)}
                {mayChange && (
                  <>
                    , <Money minor={row.monthlyFeeMinor} currency={currency} locale={locale} /> a month
                  </>
                )}
              </li>
            ))}
          </ul>
        </details>
      )}
    </Sheet>
  )
}
