import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { ChangeSheet, HintsSheet, RemedySheet } from '@/components/faults'
import { LanesChart } from '@/components/lanes'
import { DateWords, Facts, Sheet, Why } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { newId } from '@/lib/new-id'
import { adviceWords, chanceWords, ratioWords } from '@/lib/office/faults/fault-words'
import { faultStory } from '@/lib/office/faults/queries'
import { requireActor } from '@/lib/office/people/session'
import { correctRemedyAction, recordRemedyAction, takeBackRemedyAction } from '../../../actions'

export const metadata: Metadata = { title: 'A repeat fault' }

const words = z.string().min(1).max(200)
const paramsSchema = z.object({ tankId: z.uuid(), equipmentClass: words, failureMode: words })
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
        businessId={actor.businessId}
        today={today}
        newId={newId}
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
      <ChangeSheet
        today={today}
        own={story.own}
        mean={story.mean}
        since={story.since}
        suggested={remedies[0]?.effectiveOn ?? (story.likeliest?.clear ? story.likeliest.date : '')}
        likeliest={story.likeliest}
        trends={story.trends}
      />
      <HintsSheet tankId={tankId} {...story.hints} />
      <div className="halves">
        <Sheet title="The figures">
          <Facts
            numbers
            items={[
              { term: 'Needs seen here', value: fault.observed },
              { term: 'Expected from its own looks', value: fault.expected.toFixed(1) },
              {
                term: 'Rate against the route, drawn towards the others',
                value: `${fault.rateRatio.toFixed(1)} (${fault.ratioLower.toFixed(1)} to ${fault.ratioUpper.toFixed(1)}, 9 in 10)`,
              },
              { term: 'Chance that it is more than half as high again', value: chanceWords(fault.probabilityAbove) },
              {
                term: 'Chance of such a count in a tank like the others',
                value: fault.pValue < 0.001 ? 'under 1 in 1,000' : fault.pValue.toFixed(3),
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
          <DataTable
            caption="Needs found at this tank, newest first"
            captionHidden
            rows={story.visits}
            rowKey={(row) => `${row.date} ${row.visitId}`}
            empty={<p className="soft">Nothing was found here yet.</p>}
            columns={[
              { key: 'date', header: 'Day', cell: (row) => <DateWords date={row.date} style="full" /> },
              { key: 'kind', header: 'What', cell: (row) => (row.kind === 'found' ? 'found' : 'reported') },
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
