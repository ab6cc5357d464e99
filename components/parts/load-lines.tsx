import { dateWords } from '@/components/paper'
import { inSentence } from '@/components/paper/in-sentence'
import { amount } from './amount'

export type LoadLineView = {
  partId: string
  name: string
  unit: string
  take: number
  enough: number
  onVan: number
  fromShelf: number
  missing: number
  elsewhere: readonly { name: string; quantity: number }[]
  /** The likeliest, and how many others there are. */
  moreReasons: number
  reasons: readonly {
    visit: { visitId: string; tankName: string; siteName: string; on: string }
    need: {
      because: 'open' | 'due' | 'chance'
      chance: number
      quantity: number
      deviceLabel: string
      taskName: string
    }
  }[]
}

type Props = { lines: readonly LoadLineView[]; locale: string; today: string }

/** What to take along and why; what to fetch from the shelf stands first, for that is what one does. */
export function LoadLines({ lines, locale, today }: Props) {
  return (
    <ul className="load-lines">
      {lines.map((line) => (
        <li key={line.partId} data-tone={line.missing > 0 || line.onVan < 0 ? 'call' : undefined}>
          <div>
            <b>{line.take === 0 ? line.name : `${amount(line.take, line.unit)} × ${line.name}`}</b>
          </div>
          <div>{whatToDo(line)}</div>
          <details>
            <summary className="small">Why?</summary>
            <p className="small">
              {line.take > 0 && `${enoughWords(line)} A second trip costs far more than carrying one in vain.`}
            </p>
            <ul className="small">
              {line.reasons.map(({ visit, need }) => (
                <li key={`${visit.visitId} ${need.deviceLabel} ${need.taskName}`}>
                  {dateWords({ date: visit.on, style: 'short', locale, today })}, {visit.tankName}, {visit.siteName}:{' '}
                  {need.deviceLabel}, {becauseWords(need)}
                  {need.quantity === 1 ? '' : ` (takes ${need.quantity})`}
                </li>
              ))}
            </ul>
            {line.moreReasons > 0 && <p className="small soft">And {line.moreReasons} less likely ones.</p>}
          </details>
        </li>
      ))}
    </ul>
  )
}

function enoughWords({ take, unit, enough }: LoadLineView): string {
  const share = Math.round(enough * 100)
  return share >= 100 ? 'That is enough.' : `${amount(take, unit)} will be enough ${share} times in 100.`
}

function whatToDo({ onVan, fromShelf, missing, elsewhere, unit, take }: LoadLineView): string {
  if (take > 0 && take <= onVan) return 'On the van already.'
  const others = elsewhere.map(({ name, quantity }) => `${name} has ${amount(quantity, unit)}`).join(', ')
  const words = [
    onVan < 0 && `the book says ${amount(onVan, unit)} on the van: count it`,
    onVan > 0 && `${amount(onVan, unit)} on the van`,
    fromShelf > 0 && `load ${amount(fromShelf, unit)} from the shelf`,
    missing > 0 &&
      `${amount(missing, unit)} missing: not on the shelf ${others === '' ? 'or in another van' : 'either'}`,
    others !== '' && `${others}: ask for it there`,
  ].filter(Boolean)
  const joined = words.join('; ')
  return `${joined.charAt(0).toUpperCase()}${joined.slice(1)}.`
}

function becauseWords({ because, chance, taskName }: LoadLineView['reasons'][number]['need']): string {
  if (because === 'open') return `found it needed doing: ${inSentence(taskName)}`
  if (because === 'due') return `due: ${inSentence(taskName)}`
  return `${Math.max(1, Math.round(chance * 100))} in 100 that it will need doing`
}
