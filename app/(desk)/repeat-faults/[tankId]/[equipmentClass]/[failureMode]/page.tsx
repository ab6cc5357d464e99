import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { ChangeSheet, HintsSheet, RemedySheet } from '@/components/faults'
import { LanesChart } from '@/components/lanes'
import { DateWords, Facts, Problem, Sheet, Why } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { adviceWords, chanceInWords, ratioWords } from '@/lib/office/faults/fault-words'
import type { NeedRow } from '@/lib/office/faults/need-rows'
import { faultStory } from '@/lib/office/faults/queries'
import { slug } from '@/lib/office/frame/schema'
import { requireActor } from '@/lib/office/people/session'
import { correctRemedyAction, recordRemedyAction, takeBackRemedyAction } from '../../../actions'

export const metadata: Metadata = { title: 'A repeat fault' }

const paramsSchema = z.object({ tankId: z.uuid(), equipmentClass: slug, failureMode: slug })
const querySchema = z.object({ since: z.iso.date().optional().catch(undefined) })

type Props = {
  params: Promise<Record<string, string>>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function FaultPage({ params, searchParams }: Props) {
  const actor = await requireActor('faults.read')
  const decoded = Object.fromEntries(Object.entries(await params).map(([key, value]) => [key, safeDecode(value)]))
  const parsed = paramsSchema.safeParse(decoded)
  const { since } = querySchema.parse(await searchParams)
  const story = parsed.success ? await faultStory(actor, { ...parsed.data, ...(since && { since }) }, new Date()) : null
  if (!story) notFound()
  const { fault, today, remedies } = story
  const last = story.mean.at(-1)
  const { tankId, equipmentClass, failureMode } = fault
  return (
    <div className="stack">
      <PageHead
        over="Repeat fault"
        title={`${fault.className}: ${fault.modeWords}`}
        sub={
          <>
            <PageLink href={`/tanks/${fault.tankId}`}>{fault.tankName}</PageLink>, {fault.clientName}
            {story.sign && `. Usual sign: ${story.sign}`}
          </>
        }
      />
      <Why>
        <strong>
          {fault.overdispersed
            ? remedies[0]?.watch.state === 'fell'
              ? `Over the whole time it came back ${ratioWords(fault)}; since the remedy it fell.`
              : `Comes back ${ratioWords(fault)}.`
            : 'These tanks differ no more than chance would have it.'}
        </strong>{' '}
        {adviceWords(story.byChance)}
      </Why>
      <RemedySheet
        remedies={remedies.map(({ watch, ...remedy }) => ({ ...remedy, state: watch.state, words: watch.words }))}
        pair={{ tankId, equipmentClass, failureMode }}
        today={today}
        record={recordRemedyAction}
        correct={correctRemedyAction}
        takeBack={takeBackRemedyAction}
      />
      <Sheet title="This tank first, then the others with the same equipment">
        <LanesChart
          lanes={story.lanes}
          today={today}
          from={story.lanes.flatMap((lane) => lane.marks.map((mark) => mark.date)).sort()[0] ?? today}
          to={yearLater(today)}
          caption={`${fault.modeWords} over the tanks`}
        />
      </Sheet>
      {story.sinceProblem && <Problem title="Not that day.">{story.sinceProblem}</Problem>}
      <ChangeSheet
        today={today}
        own={story.own}
        mean={story.mean}
        since={story.since}
        suggested={remedies[0]?.effectiveOn ?? (story.likeliest?.clear ? story.likeliest.date : '')}
        likeliest={story.likeliest}
        trend={story.trend}
      />
      <HintsSheet tankId={tankId} {...story.hints} />
      <div className="halves">
        <Sheet title="The figures">
          <Facts
            numbers
            items={[
              { term: 'Needs counted here', value: fault.observed },
              { term: 'Expected from its own looks', value: fault.expected.toFixed(1) },
              {
                term: 'Rate against the route, drawn towards the others',
                value: `${fault.rateRatio.toFixed(1)} (${fault.ratioLower.toFixed(1)} to ${fault.ratioUpper.toFixed(1)}, 9 in 10)`,
              },
              {
                term: 'Chance that it is more than half as high again',
                value: fault.overdispersed
                  ? chanceInWords(fault.probabilityAbove)
                  : 'cannot be told: the tanks differ no more than chance would have it',
              },
              {
                term: 'Chance of such a count in a tank like the others',
                value:
                  fault.pValue < 0.0005 ? 'less than once in 1,000' : `${Math.round(fault.pValue * 1000)} in 1,000`,
              },
              { term: 'Rank among the tanks', value: fault.rank },
              ...(last
                ? [
                    {
                      term: 'Mean needs of the tanks with such a device so far',
                      value: `${last.mean.toFixed(1)} (${last.lower.toFixed(1)} to ${last.upper.toFixed(1)})`,
                    },
                  ]
                : []),
            ]}
          />
        </Sheet>
        <Sheet title="The visits behind it">
          <p className="small soft">{countWords(story.visits, fault.observed)}</p>
          <DataTable
            caption="Needs at this tank, newest first"
            captionHidden
            rows={story.visits}
            rowKey={(row) => `${row.date} ${row.visitId} ${row.kind} ${row.leftOut}`}
            empty={<p className="soft">Nothing was found here yet.</p>}
            columns={[
              { key: 'date', header: 'Day', cell: (row) => <DateWords date={row.date} style="full" /> },
              { key: 'kind', header: 'What', cell: (row) => KIND_WORDS[row.kind] },
              {
                key: 'counted',
                header: 'Counted',
                cell: (row) =>
                  row.leftOut === null ? 'yes' : <span className="soft">no: {LEFT_OUT_WORDS[row.leftOut]}</span>,
              },
              {
                key: 'visit',
                header: 'Visit',
                cell: (row) =>
                  row.visitId ? (
                    <PageLink href={`/visits/${row.visitId}`}>open the visit</PageLink>
                  ) : (
                    <span className="soft">no visit</span>
                  ),
              },
            ]}
          />
        </Sheet>
      </div>
    </div>
  )
}

const KIND_WORDS = {
  found: 'found',
  reported: 'reported by the client',
  renewed: 'put right for its condition',
} as const satisfies Record<NeedRow['kind'], string>

const LEFT_OUT_WORDS = {
  'age-unknown': 'nobody knew how long it had lasted',
  'still-open': 'found before and not yet put right',
  'not-cured': 'the same trouble again, it had not been fixed',
  'nothing-before': 'nothing was known of it before',
} as const satisfies Record<NonNullable<NeedRow['leftOut']>, string>

/** How the number that is ranked and the rows below it belong together. */
function countWords(rows: readonly NeedRow[], observed: number): string {
  const counted = rows.filter(({ leftOut }) => leftOut === null).length
  const others = rows.length - counted
  const seen = `${counted} ${counted === 1 ? 'need is' : 'needs are'} counted`
  // A need that came since the count was last made, or a mode without a model, is said and not glossed over.
  const made = counted === observed ? '' : ` (${observed} when the ranks were last worked out)`
  if (others === 0) return `${seen}${made}.`
  return `${seen}${made}; ${others === 1 ? '1 more row is' : `${others} more rows are`} not, each with the reason.`
}

function yearLater(day: string): string {
  return `${Number(day.slice(0, 4)) + 1}${day.slice(4).replace('-02-29', '-02-28')}`
}

function safeDecode(text: string): string {
  try {
    return decodeURIComponent(text)
  } catch {
    return ''
  }
}
