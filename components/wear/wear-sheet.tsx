import { Sheet } from '@/components/paper'
import { WearChart } from './wear-chart'

type Wear = {
  failureMode: string
  quantityName: string
  unit: string
  path: readonly { day: number; value: number }[]
  threshold: number | null
  thresholdDay: number | null
  lowerDay: number | null
  upperDay: number | null
  state: string
  words: string
  rule: { says: string; source: string }
}

/** What was measured on a device and what follows from it; nothing where nobody measured. */
export function WearSheet({ wear, locale }: { wear: readonly Wear[]; locale: string }) {
  if (wear.length === 0) return null
  return (
    <Sheet title="What was measured" id="measured">
      {wear.map((one) => {
        const { state, thresholdDay, lowerDay, upperDay, threshold } = one
        const isAhead = state === 'dated' && thresholdDay !== null && lowerDay !== null
        return (
          <div key={one.failureMode}>
            <p className={state === 'crossed' ? 'call' : undefined}>{one.words}.</p>
            {threshold !== null && (
              <WearChart
                label={one.quantityName}
                unit={one.unit}
                path={one.path}
                threshold={threshold}
                crossing={isAhead ? { day: thresholdDay, from: lowerDay, until: upperDay } : null}
                words={one.words}
                locale={locale}
              />
            )}
            <p className="soft small">
              A straight line through the readings since the last renewal, with Fieller’s interval. The figure at which
              it is renewed ({one.rule.says}): {one.rule.source}.
            </p>
          </div>
        )
      })}
    </Sheet>
  )
}
