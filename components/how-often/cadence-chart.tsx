import { ChoiceChart } from '@/components/charts'
import { everyWords } from '@/components/due/due-words'
import { minorPerUnit } from '@/components/paper'

type Option = { days: number; mean: number; lower: number; upper: number }

/** 0.664 → "66 in 100"; never all or none, which no record can show. */
export function inHundred(chance: number): string {
  if (chance > 0.99) return 'over 99 in 100'
  return chance < 0.01 ? 'under 1 in 100' : `${Math.round(chance * 100)} in 100`
}

/** What each cadence costs a year; money in minor units. */
export function CadenceChart(props: {
  options: readonly Option[]
  presentDays: number
  currency: string
  locale: string
}) {
  const { options, presentDays, currency, locale } = props
  const minor = minorPerUnit(currency)
  return (
    <ChoiceChart
      choices={options.map(({ days, mean, lower, upper }) => ({
        label: everyWords(days),
        mean: mean / minor,
        lower: lower / minor,
        upper: upper / minor,
        isPresent: days === presentDays,
      }))}
      costUnit={`${currency} a year`}
      label="Visits, defects and failures together"
      locale={locale}
    />
  )
}
