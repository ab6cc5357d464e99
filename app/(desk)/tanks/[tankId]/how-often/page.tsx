import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { everyWords } from '@/components/due/due-words'
import { CadenceChart, inHundred } from '@/components/how-often'
import { DateWords, Empty, Facts, moneyWords, quantityWords, Sheet, Why as WhyNote } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { type HowOftenPage, howOftenAt } from '@/lib/office/how-often/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'How often to come' }

const STRETCHES_SHOWN = 30
const DAYS_PER_WEEK = 7

export default async function HowOftenToComePage({ params }: { params: Promise<{ tankId: string }> }) {
  const actor = await requireActor('due.read')
  const tankId = z.uuid().safeParse((await params).tankId)
  const page = tankId.success ? await howOftenAt(actor, tankId.data, new Date()) : null
  if (!page) notFound()
  const { tank, answer, missing, currency, locale } = page
  return (
    <div className="stack">
      <PageHead
        over={`${tank.name}, ${tank.clientName}`}
        title="How often to come"
        sub={`Now ${everyWords(page.presentDays)}.`}
        actions={
          <PageLink className="button" href={`/tanks/${tank.id}`}>
            The tank
          </PageLink>
        }
      />
      {answer ? (
        <>
          <WhyNote>
            <strong>{answer.sentence}</strong>
            {page.objections.length > 0 && <p className="call">But: {page.objections.join('; ')}.</p>}
            {!page.isClientStated && (
              <p>
                Nothing was stated of this client yet: what goodwill and the animals are worth is not in a failure.
                State it at <PageLink href={`/clients/${tank.clientId}`}>{tank.clientName}</PageLink> before you change
                an agreement.
              </p>
            )}
          </WhyNote>
          <div className="halves">
            <Sheet title="What it costs a year">
              <p className="small soft">
                Visits, putting defects right and failures, added up. What the client pays you is not in it.
              </p>
              <CadenceChart
                options={answer.options}
                presentDays={page.presentDays}
                currency={currency}
                locale={locale}
              />
            </Sheet>
            <Sheet title="In figures">
              <OptionTable page={page} />
            </Sheet>
          </div>
        </>
      ) : (
        <Sheet>
          <Empty title="Not enough to tell yet">
            <p>{missing}</p>
          </Empty>
        </Sheet>
      )}
      <Sheet title="What this rests on">
        <Facts items={assumptions(page)} />
        <p className="small soft">
          Taken for granted: defects arise at a steady rate, each needs its own time to become a failure, and a visit
          finds every defect that is there. Where looks are skipped the true gain of coming more often is smaller than
          shown.
          {page.importedVisits > 0 &&
            ` ${page.importedVisits === 1 ? '1 visit of older records is left out: it tells' : `${page.importedVisits} visits of older records are left out: they tell`} of needs, never of failures.`}
        </p>
      </Sheet>
      <Sheet title="The visits behind it">
        <DataTable
          caption="What came to light from one visit to the next, newest first"
          captionHidden
          rows={page.stretches.slice(0, STRETCHES_SHOWN)}
          rowKey={(row) => row.visitId}
          empty={<p className="soft">No two visits of ours yet.</p>}
          columns={[
            {
              key: 'until',
              header: 'Visit',
              cell: (row) => (
                <PageLink href={`/visits/${row.visitId}`}>
                  <DateWords date={row.to} style="full" />
                </PageLink>
              ),
            },
            { key: 'days', header: 'Days since the last', numeric: true, cell: (row) => row.days },
            { key: 'found', header: 'Needs found', numeric: true, cell: (row) => row.found },
            { key: 'failed', header: 'Failed or reported', numeric: true, cell: (row) => row.failed },
          ]}
        />
        {leftOutWords(page) && <p className="soft small">{leftOutWords(page)}</p>}
        {page.stretches.length > STRETCHES_SHOWN && (
          <p className="soft small">
            The newest {STRETCHES_SHOWN} of {page.stretches.length}.
          </p>
        )}
      </Sheet>
    </div>
  )
}

/** Visits that stand in the plan and not in the list, and why. */
function leftOutWords({ leftOut: { cutShort, noAccess } }: HowOftenPage): string {
  const visits = (count: number) => `${count} ${count === 1 ? 'visit' : 'visits'}`
  const left = [
    cutShort > 0 && `${visits(cutShort)} left early`,
    noAccess > 0 && `${visits(noAccess)} where nobody could get in`,
  ].filter(Boolean)
  if (left.length === 0) return ''
  return `Not in the list: ${left.join(' and ')}. Not everything was looked at there, so a stretch runs on to the next whole visit; what was found all the same counts in it.`
}

function OptionTable({ page }: { page: HowOftenPage }) {
  const { answer, currency, locale, presentDays } = page
  const money = (minor: number) => moneyWords({ minor, currency, locale, whole: true })
  return (
    <DataTable
      caption="Each choice in figures"
      captionHidden
      rows={answer?.options ?? []}
      rowKey={(row) => String(row.days)}
      columns={[
        {
          key: 'days',
          header: 'Come',
          cell: (row) => `${everyWords(row.days)}${row.days === presentDays ? ' (now)' : ''}`,
        },
        { key: 'cost', header: 'Cost a year', numeric: true, cell: (row) => money(row.mean) },
        {
          key: 'range',
          header: '9 in 10 sure',
          numeric: true,
          cell: (row) => `${money(row.lower)} to ${money(row.upper)}`,
        },
        { key: 'failures', header: 'Failures a year', numeric: true, cell: (row) => row.failures.toFixed(1) },
        {
          key: 'chance',
          header: 'Chance of being cheapest',
          numeric: true,
          cell: (row) => inHundred(row.chanceCheapest),
        },
      ]}
    />
  )
}

const count = (value: number) => quantityWords({ value })

function assumptions(page: HowOftenPage) {
  const { costs, currency, locale, route, meanDelayDays, defectsPerYear } = page
  const money = (minor: number) => moneyWords({ minor, currency, locale, whole: true })
  const weeks = (days: number) => (days / DAYS_PER_WEEK).toFixed(days < DAYS_PER_WEEK * 10 ? 1 : 0)
  return [
    {
      term: 'Counted on the route, last two years',
      value: `${count(route.tanks)} ${route.tanks === 1 ? 'tank' : 'tanks'}, ${count(route.visits)} visits: ${count(route.found)} needs found, ${count(route.failed)} failed or reported`,
    },
    ...(meanDelayDays
      ? [
          {
            term: 'From “needs it” to “failed”, on average',
            value: `${weeks(meanDelayDays.median)} weeks (${weeks(meanDelayDays.lower)} to ${weeks(meanDelayDays.upper)}, 9 in 10 sure)`,
          },
        ]
      : []),
    ...(defectsPerYear
      ? [
          {
            term: 'Needs that arise in this tank a year',
            value: `${defectsPerYear.median.toFixed(1)} (${defectsPerYear.lower.toFixed(1)} to ${defectsPerYear.upper.toFixed(1)}, 9 in 10 sure)`,
          },
        ]
      : []),
    { term: `A visit costs us (${page.visitMinutes} minutes and the road)`, value: money(costs.visit) },
    { term: 'A need put right at a visit', value: money(costs.defect) },
    {
      term: page.isClientStated ? 'A failure, with what this client said' : 'A failure',
      value: money(costs.failure),
    },
    {
      term: 'Where the costs come from',
      value: page.isStated ? (
        <PageLink href="/settings/costs">your cost settings</PageLink>
      ) : (
        'starting figures: state your own'
      ),
    },
  ]
}
