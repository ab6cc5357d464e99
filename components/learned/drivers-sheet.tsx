import { Sheet } from '@/components/paper'

type Driver = {
  key: string
  sentence: string
  lives: number
  tanks: number
  certainty: string
  lower: number
  upper: number
}
type Drivers = {
  lives: number
  events: number
  tanks: number
  shown: readonly Driver[]
  notTested: readonly { key: string; label: string; why: string }[]
}

/** What makes it come sooner, most certain first, and what could not be tested. */
export function DriversSheet({ drivers }: { drivers: Drivers }) {
  const { shown, notTested } = drivers
  // Its own interval leaves "no effect" out, whatever else was tried.
  const standsOut = ({ lower, upper }: Driver) => lower > 1 || upper < 1
  const told = shown.filter(standsOut)
  const perhaps = shown.filter((one) => !standsOut(one) && one.certainty === 'probably')
  const open = shown.filter((one) => !standsOut(one) && one.certainty === 'cannot tell')
  return (
    <Sheet title="What drives it">
      {told.length > 0 ? (
        <ul>
          {told.map(({ key, sentence, lives, tanks }) => (
            <li key={key}>
              {sentence}{' '}
              <span className="soft small">
                From {lives} {lives === 1 ? 'life' : 'lives'} at {tanks} {tanks === 1 ? 'tank' : 'tanks'}.
              </span>
            </li>
          ))}
        </ul>
      ) : (
        <p className="soft">
          {shown.length > 0
            ? 'Nothing that was tried stands out.'
            : 'Not shown: too few needs on record to compare anything fairly.'}
        </p>
      )}
      {perhaps.length > 0 && (
        <details>
          <summary>Probable, but not sure: {perhaps.length}</summary>
          <ul>
            {perhaps.map(({ key, sentence }) => (
              <li key={key}>{sentence}</li>
            ))}
          </ul>
        </details>
      )}
      {open.length > 0 && (
        <details>
          <summary>Tried, too close to call: {open.length}</summary>
          <ul>
            {open.map(({ key, sentence }) => (
              <li key={key}>{sentence}</li>
            ))}
          </ul>
        </details>
      )}
      {notTested.length > 0 && (
        <details>
          <summary>Not tried: {notTested.length}</summary>
          <ul>
            {notTested.map(({ key, label, why }) => (
              <li key={key}>
                {label.replace(/,$/, '')}: {why}.
              </li>
            ))}
          </ul>
        </details>
      )}
      {shown.length > 0 && (
        <p className="small soft">
          All at once, so that each is judged with the others held the same; intervals allow for tanks that differ, and
          hold 19 times in 20. “Almost surely” and “probably” allow for having tried {shown.length}: of all that is
          called so, about 1 in 20 and about 1 in 5 may be chance. What goes together need not be the cause.
        </p>
      )}
    </Sheet>
  )
}
