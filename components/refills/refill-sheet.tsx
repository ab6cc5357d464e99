import { ButtonLink, Empty, Sheet } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { VERDICT_WORDS, type Verdict } from './verdict-words'

export type RefillLine = { id: string; label: string; kindName: string; verdict: Verdict; words: string }
type Props = { tankId: string; refills: readonly RefillLine[]; mayChange: boolean }

/** Every container of a tank with its answer: will it last until the next visit? */
export function RefillSheet({ tankId, refills, mayChange }: Props) {
  return (
    <Sheet title="Refills" id="refills">
      {refills.length === 0 && (
        <Empty title="No containers yet">
          Water, salt, doses, food, gas, rolls and socks: set them up, write down their levels, and this says whether
          they last until the next visit.
        </Empty>
      )}
      <ul className="visit-list">
        {refills.map(({ id, label, verdict, words }) => (
          <li key={id}>
            <PageLink href={`/tanks/${tankId}/refills/${id}`}>{label}</PageLink>{' '}
            <b className={VERDICT_WORDS[verdict].tone}>{VERDICT_WORDS[verdict].words}</b>
            <p className="soft small">{withoutLabel(words, label)}</p>
          </li>
        ))}
      </ul>
      {mayChange && (
        <div className="actions">
          <ButtonLink href={`/tanks/${tankId}/refills/new`}>Set up a container</ButtonLink>
        </div>
      )}
    </Sheet>
  )
}

/** The sentence begins with the label, which stands above it here. */
export function withoutLabel(words: string, label: string): string {
  const rest = words.startsWith(`${label}: `) ? words.slice(label.length + 2) : words
  return rest.charAt(0).toUpperCase() + rest.slice(1)
}
