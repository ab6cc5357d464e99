import { ReadingsChart } from '@/components/charts'
import { quantityWords, Sheet } from '@/components/paper'

type Line = {
  quantity: string
  name: string
  unit: string
  value: number
  date: string
  words: string
  isFine: boolean
  target: { low: number; high: number } | null
  points: { date: string; value: number }[]
}

/** The water: last values with a word each, and how each went over time. */
export function WaterTable({ lines, locale }: { lines: readonly Line[]; locale: string }) {
  return (
    <Sheet title="Water">
      {lines.length === 0 ? (
        <p className="soft">No reading has been taken yet.</p>
      ) : (
        <>
          <table>
            <caption className="visually-hidden">Last readings</caption>
            <thead>
              <tr>
                <th scope="col">Measured</th>
                <th scope="col" className="n">
                  Last
                </th>
                <th scope="col">How it is</th>
              </tr>
            </thead>
            <tbody>
              {lines.map((line) => (
                <tr key={line.quantity}>
                  <th scope="row">{line.name}</th>
                  <td className="n">{quantityWords({ value: line.value, unit: line.unit || undefined, locale })}</td>
                  <td className={line.isFine ? 'soft' : 'call'}>{afterName(line)}</td>
                </tr>
              ))}
            </tbody>
          </table>
          <details>
            <summary>See how the water went over time</summary>
            <div className="stack">
              {lines.map((line) => (
                <div key={line.quantity}>
                  <h3>{line.name}</h3>
                  <ReadingsChart
                    points={line.points}
                    unit={line.unit}
                    label={line.name}
                    locale={locale}
                    {...(line.target ? { target: line.target } : {})}
                  />
                </div>
              ))}
            </div>
          </details>
        </>
      )}
    </Sheet>
  )
}

/** "Salinity is as it should be." beside its own name reads twice: keep what follows the name. */
function afterName({ words }: Line): string {
  const said = words.match(/ (?:is|was) (.*)\.$/)?.[1]
  return said ?? words
}
