import { Sheet } from '@/components/paper'
import { PageLink } from '@/components/shell'

type Hint = { factor: string; words: string; standsOut: boolean }
type Props = {
  tankId: string
  hints: readonly Hint[]
  offenders: number
  classic: { words: string; hasIt: boolean | null } | null
  known: readonly string[]
}

/** What may be behind a fault: what the trade would look at first, and what the tanks with it have in common. Hints, no proofs. */
export function HintsSheet({ tankId, hints, offenders, classic, known }: Props) {
  const out = hints.filter((hint) => hint.standsOut)
  const rest = hints.filter((hint) => !hint.standsOut)
  return (
    <Sheet title="What may be behind it">
      {classic && (
        <p>
          <strong>The trade looks first for:</strong> {classic.words}. {classic.hasIt === true && 'This tank has it.'}
          {classic.hasIt === false && 'This tank is not said to have it.'}
        </p>
      )}
      {out.map((hint) => (
        <p key={hint.factor}>
          <strong>{hint.words}</strong> A hint, not a proof.
        </p>
      ))}
      {out.length === 0 && (
        <p className="soft">
          {offenders === 0
            ? 'A hint from the route needs at least one tank where it is sure to come back.'
            : 'Nothing that is known of the tanks sets those with this fault apart.'}
        </p>
      )}
      {rest.length > 0 && (
        <details>
          <summary>What else was asked</summary>
          <ul>
            {rest.map((hint) => (
              <li key={hint.factor}>{hint.words}</li>
            ))}
          </ul>
          <p className="soft small">
            Named as a hint only where at most one in twenty would be a false alarm (Fisher’s exact test,
            Benjamini–Hochberg over all that was asked).
          </p>
        </details>
      )}
      <p className="soft small">
        {known.length > 0 ? `Known of this tank: ${known.join(', ')}. ` : 'Nothing of the kind is known of this tank. '}
        <PageLink href={`/tanks/${tankId}/edit`}>Change what is known of it</PageLink>
      </p>
    </Sheet>
  )
}
