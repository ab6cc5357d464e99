import { ReadingsChart } from '@/components/charts'
import { Empty, Sheet } from '@/components/paper'

type Series = {
  quantity: string
  name: string
  unit: string
  target?: { low: number; high: number }
  points: readonly { date: string; value: number }[]
}

const SHOWN_AT_FIRST = 2

/** The water over time, a chart for each quantity; those beyond the first two open in place. */
export function WaterSheet({ water, locale }: { water: readonly Series[]; locale: string }) {
  const chart = ({ quantity, name, unit, target, points }: Series) => (
    <ReadingsChart
      key={quantity}
      label={name}
      unit={unit}
      points={points}
      locale={locale}
      {...(target ? { target } : {})}
    />
  )
  const more = water.slice(SHOWN_AT_FIRST)
  return (
    <Sheet title="Water" id="water">
      {water.length === 0 && <Empty title="No readings yet">They come with the visits.</Empty>}
      {water.slice(0, SHOWN_AT_FIRST).map(chart)}
      {more.length > 0 && (
        <details>
          <summary>{more.map((series) => series.name).join(', ')}</summary>
          {more.map(chart)}
        </details>
      )}
    </Sheet>
  )
}
