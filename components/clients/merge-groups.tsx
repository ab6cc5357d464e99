import { ButtonLink, Decision, Decisions, Empty } from '@/components/paper'

type Entry = { id: string; name: string; words: string }
type Props = { groups: readonly { because: string; entries: readonly Entry[] }[]; href: string }

/** Entries that look alike, in pairs: the first of a group against each of the others. */
export function MergeGroups({ groups, href }: Props) {
  if (groups.length === 0)
    return <Empty title="Nothing looks entered twice">Names, e-mails and addresses all differ.</Empty>
  const pairs = groups.flatMap(({ because, entries }) => {
    const [first, ...others] = entries
    return first ? others.map((other) => ({ because, first, other })) : []
  })
  return (
    <Decisions>
      {pairs.map(({ because, first, other }) => (
        <Decision
          key={`${first.id} ${other.id}`}
          title={first.name === other.name ? `${first.name}, twice` : `${first.name} and ${other.name}`}
          sub={`The same ${because}. First: ${first.words}. Second: ${other.words}.`}
          actions={<ButtonLink href={`${href}?keep=${first.id}&same=${other.id}`}>Look at the two</ButtonLink>}
        />
      ))}
    </Decisions>
  )
}
