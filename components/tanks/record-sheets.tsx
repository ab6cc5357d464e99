import { ButtonLink, DateWords, Decision, Decisions, Empty, Sheet } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'

type Finding = {
  id: string
  on: string
  device: string
  mode: string
  asFound: string
  cause: string
  remedy: string
  visitId: string | null
}
type Visit = { id: string; on: string; kind: string; outcome: string | null; technicianName: string | null }

const KIND_WORDS: Readonly<Record<string, string>> = {
  routine: 'Routine',
  call_out: 'Call-out',
  installation: 'Installation',
  return_check: 'Return check',
}
const OUTCOME_WORDS: Readonly<Record<string, string>> = { done: 'done', cut_short: 'cut short', no_access: 'no access' }

/** What was found wrong lately, newest first. */
export function FindingSheet({ findings, locale }: { findings: readonly Finding[]; locale: string }) {
  return (
    <Sheet title="Found lately" id="findings">
      <DataTable
        caption="Findings"
        captionHidden
        rows={findings}
        empty={<Empty title="Nothing found yet">What a visit finds stands here.</Empty>}
        columns={[
          {
            key: 'on',
            header: 'Day',
            cell: (finding) => {
              const day = <DateWords date={finding.on} style="date" locale={locale} />
              return finding.visitId === null ? day : <PageLink href={`/visits/${finding.visitId}`}>{day}</PageLink>
            },
          },
          {
            key: 'what',
            header: 'What',
            cell: ({ device, mode, asFound }) =>
              `${device === '' ? '' : `${device}: `}${mode}${asFound === 'failed' ? ', failed' : ''}`,
          },
          { key: 'cause', header: 'Cause', cell: (finding) => finding.cause },
          { key: 'remedy', header: 'What was done', cell: (finding) => finding.remedy },
        ]}
      />
    </Sheet>
  )
}

/** The last visits, newest first. */
export function VisitSheet({ visits, locale }: { visits: readonly Visit[]; locale: string }) {
  return (
    <Sheet title="Visits" id="visits">
      <DataTable
        caption="Visits"
        captionHidden
        rows={visits}
        empty={<Empty title="No visit yet">Book one, or log one while you are there.</Empty>}
        rowHref={(visit) => `/visits/${visit.id}`}
        columns={[
          { key: 'on', header: 'Day', cell: (visit) => <DateWords date={visit.on} style="date" locale={locale} /> },
          { key: 'kind', header: 'Kind', cell: (visit) => KIND_WORDS[visit.kind] ?? visit.kind },
          { key: 'who', header: 'Who', cell: (visit) => visit.technicianName },
          {
            key: 'outcome',
            header: 'How it ended',
            cell: (visit) => (visit.outcome === null ? '' : (OUTCOME_WORDS[visit.outcome] ?? visit.outcome)),
          },
        ]}
      />
    </Sheet>
  )
}

type FollowUp = { id: string; what: string; dueOn: string; personName: string | null }

/** What is promised and not yet done; nothing where there is nothing. */
export function FollowUpSheet({
  followUps,
  locale,
  today,
}: {
  followUps: readonly FollowUp[]
  locale: string
  today: string
}) {
  if (followUps.length === 0) return null
  return (
    <Sheet title="Promised" {...(followUps.some(({ dueOn }) => dueOn < today) ? { tone: 'call' as const } : {})}>
      <Decisions>
        {followUps.map(({ id, what, dueOn, personName }) => (
          <Decision
            key={id}
            title={what}
            sub={
              <>
                {dueOn < today ? 'Was due ' : 'Due '}
                <DateWords date={dueOn} style="short" locale={locale} today={today} />
                {personName !== null && `, ${personName}`}
              </>
            }
          />
        ))}
      </Decisions>
    </Sheet>
  )
}

type Photo = { id: string; caption: string; takenAt: string }

/** The last photos; each opens in full. `hrefOf` is the route that checks who may see it. */
export function PhotoSheet({
  photos,
  hrefOf,
  allHref,
}: {
  photos: readonly Photo[]
  hrefOf: (id: string) => string
  /** Where the owner decides who sees each one. */
  allHref?: string | undefined
}) {
  if (photos.length === 0 && !allHref) return null
  return (
    <Sheet title="Photos" id="photos">
      <div className="tank-photos">
        {photos.map(({ id, caption, takenAt }) => (
          <a key={id} href={hrefOf(id)}>
            {/* biome-ignore lint/performance/noImgElement: the file is private and comes through the route that checks the row */}
            <img src={hrefOf(id)} alt={caption === '' ? `Photo of ${takenAt.slice(0, 10)}` : caption} loading="lazy" />
          </a>
        ))}
      </div>
      {allHref && (
        <div className="actions">
          <ButtonLink href={allHref}>Who sees them</ButtonLink>
        </div>
      )}
    </Sheet>
  )
}
