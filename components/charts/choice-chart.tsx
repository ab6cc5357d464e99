import { scaleLinear } from 'd3-scale'
import { quantityWords } from '../paper/quantity'
import { ChartTable } from './chart-table'
import { PLOT_PX, Plot } from './plot'

export type Choice = {
  /** "every 2 weeks"; short, it stands below its bar. */
  label: string
  mean: number
  lower: number
  upper: number
  /** The one that is in force. */
  isPresent?: boolean
}
export type ChoiceChartProps = {
  choices: readonly Choice[]
  /** What a cost is, e.g. "GBP a year". */
  costUnit: string
  label: string
  /** How sure the bars are. */
  sureWords?: string
  locale?: string
}

const MARGIN_PX = 12
const WHISKER = 1.4

/** What a few choices cost, each with how sure that is; the cheapest marked, the present one named. */
export function ChoiceChart(props: ChoiceChartProps) {
  const { choices, costUnit, label, sureWords = '9 in 10 sure', locale = 'en-GB' } = props
  if (choices.length === 0) return <p className="soft">{label}: nothing to compare yet.</p>
  const y = scaleLinear([0, Math.max(...choices.map(({ upper }) => upper))], [PLOT_PX, MARGIN_PX]).nice(4)
  const best = choices.reduce((one, other) => (other.mean < one.mean ? other : one))
  const at = (index: number) => ((index + 0.5) / choices.length) * 100
  const figure = y.tickFormat(4)
  const money = (value: number) => quantityWords({ value, locale, decimals: 0 })
  const words = `cheapest ${best.label}, about ${quantityWords({ value: best.mean, unit: costUnit, locale, decimals: 0 })}`
  return (
    <figure className="chart">
      <Plot
        name={`${label}: ${words}`}
        yTicks={y.ticks(4).map((value) => ({ at: y(value), label: figure(value) }))}
        xTicks={choices.map((choice, index) => ({ at: at(index), label: choice.label }))}
        over={choices.map((choice, index) => (
          <g key={choice.label}>
            <line
              className="plot-whisker"
              x1={`${at(index)}%`}
              x2={`${at(index)}%`}
              y1={y(choice.lower)}
              y2={y(choice.upper)}
            />
            {[choice.lower, choice.upper].map((end) => (
              <line
                key={end}
                className="plot-whisker"
                x1={`${at(index) - WHISKER}%`}
                x2={`${at(index) + WHISKER}%`}
                y1={y(end)}
                y2={y(end)}
              />
            ))}
            <circle
              className={choice === best ? 'plot-best' : 'plot-dot'}
              cx={`${at(index)}%`}
              cy={y(choice.mean)}
              r="6"
            />
          </g>
        ))}
      >
        {null}
      </Plot>
      <ul className="chart-legend">
        <li data-line="best">cheapest</li>
        <li data-line="whisker">{sureWords}</li>
      </ul>
      <figcaption>
        {label}: {words}.
      </figcaption>
      <ChartTable
        caption={label}
        heads={['How often', costUnit, 'From', 'To']}
        rows={choices.map((choice) => [
          choice.isPresent ? `${choice.label} (now)` : choice.label,
          money(choice.mean),
          money(choice.lower),
          money(choice.upper),
        ])}
      />
    </figure>
  )
}
