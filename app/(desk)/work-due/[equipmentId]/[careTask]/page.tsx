import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { CostChart, SurvivalChart } from '@/components/charts'
import { weeksWords } from '@/components/due/due-words'
import { IntervalSheet, OwnIntervalForm } from '@/components/intervals'
import { LanesChart } from '@/components/lanes'
import { rangeWords } from '@/components/learned'
import { DateWords, Facts, Money, minorPerUnit, moneyWords, Sheet, Why as WhyNote } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { WearSheet } from '@/components/wear'
import { type Why, whyDue } from '@/lib/office/due/why'
import { mayDo } from '@/lib/office/frame/role-actions'
import { slug } from '@/lib/office/frame/schema'
import { lastAnswer } from '@/lib/office/intervals/answers'
import { shapeWords } from '@/lib/office/lanes/life-words'
import { wearBehindTask } from '@/lib/office/lanes/wear'
import { withWear } from '@/lib/office/lanes/wear-lanes'
import { requireActor } from '@/lib/office/people/session'
import { setIntervalAction } from '../../intervals/actions'

export const metadata: Metadata = { title: 'Why is this due?' }

const paramsSchema = z.object({ equipmentId: z.uuid(), careTask: slug })
const VISITS_SHOWN = 40

export default async function WhyDuePage({ params }: { params: Promise<{ equipmentId: string; careTask: string }> }) {
  const actor = await requireActor('due.read')
  const raw = await params
  const parsed = paramsSchema.safeParse({ ...raw, careTask: safeDecode(raw.careTask) })
  const why = parsed.success ? await whyDue(actor, parsed.data.equipmentId, parsed.data.careTask, new Date()) : null
  if (!why) notFound()
  const { reason } = why
  const wear = parsed.success ? await wearBehindTask(actor, parsed.data.equipmentId, parsed.data.careTask) : []
  return (
    <div className="stack">
      <PageHead
        over={`${why.tank.name}, ${why.tank.clientName}`}
        title={why.taskName}
        sub={
          <>
            {why.equipmentLabel}: {why.modeWords}
            {why.sign && ` (${why.sign})`}
          </>
        }
        actions={
          <PageLink className="button go" href={`/visits/new?tank=${why.tank.id}`}>
            Log a visit
          </PageLink>
        }
      />
      <WhyNote>
        <strong>
          {why.dueOn ? (
            <>
              Due <DateWords date={why.dueOn} style="full" />.{' '}
            </>
          ) : (
            'No date follows. '
          )}
        </strong>
        {reason.words}
        {(why.comparison || why.chanceWords) && <p>{[why.comparison, why.chanceWords].filter(Boolean).join(' ')}</p>}
      </WhyNote>
      {why.lanes.length > 0 && (
        <Sheet title="What was seen here">
          <LanesChart
            lanes={withWear(why.lanes, wear)}
            today={why.today}
            from={why.visits.at(-1)?.date ?? why.today}
            to={yearLater(why.today)}
            caption={`${why.taskName} at ${why.tank.name}`}
          />
        </Sheet>
      )}
      <IntervalSheet
        intervalDays={why.intervalDays}
        source={reason.interval.source}
        cheapestDays={reason.interval.cheapestDays}
        habitDays={reason.interval.habitDays}
        savingOnHabit={why.savingOnHabit}
        proposal={why.proposal}
        lastAnswer={parsed.success ? await lastAnswer(actor, parsed.data) : null}
        currency={why.currency}
        locale={why.locale}
      >
        {mayDo(actor.roles, 'due.change') && parsed.success && (
          <OwnIntervalForm
            action={setIntervalAction}
            of={parsed.data}
            weeks={why.intervalDays === null ? '' : weeksTyped(why.intervalDays)}
          />
        )}
      </IntervalSheet>
      <WearSheet wear={wear} locale={why.locale} />
      <Sheet title="In figures">
        <Facts items={figures(why)} />
      </Sheet>
      <div className="halves">
        <Sheet title="How long it lasts on this route">
          <p className="small soft">
            {reason.model.source === 'own records'
              ? `From ${why.lives} ${why.lives === 1 ? 'life' : 'lives'} in your own records, ${why.events} of them seen to end. The line is the fitted life, the steps are what was counted${why.curves.band.length > 0 ? ', the band how sure the count is' : ''}. `
              : 'Your own records are too few yet: this starts from what the trade knows and moves to your own history as visits come in. '}
            <PageLink href={learnedHref(why)}>What we have learned of it</PageLink>
          </p>
          <SurvivalChart
            parametric={why.curves.fitted}
            nonparametric={why.curves.counted}
            band={why.curves.band}
            bandWords="counted, 9 in 10 sure"
            unit="weeks"
            label="Still fine"
            locale={why.locale}
          />
        </Sheet>
        <Sheet title="What it costs a year">
          <p className="small soft">
            Each point: the cost a year of doing it after that many weeks, needs that reach the client first included.{' '}
            {why.cheapest
              ? `Cheapest: every ${Math.round(why.cheapest.interval)} weeks.`
              : 'No interval beats waiting until it is needed.'}
          </p>
          <CostChart
            points={major(why.costs, why.currency)}
            optimum={why.cheapest ? (major([why.cheapest], why.currency)[0] ?? null) : null}
            unit="weeks"
            costUnit={`${why.currency} a year`}
            label="Cost a year by interval"
            runToFailure={reason.costPerYearWaiting / minorPerUnit(why.currency)}
            locale={why.locale}
          />
        </Sheet>
      </div>
      <Sheet title="What this rests on">
        <Facts items={assumptions(why)} />
      </Sheet>
      <Sheet title="The visits behind it">
        <DataTable
          caption="What was seen and done, newest first"
          captionHidden
          rows={why.visits.slice(0, VISITS_SHOWN)}
          rowKey={(row) => `${row.date} ${row.kind} ${row.visitId}`}
          empty={<p className="soft">No visit has looked at this yet.</p>}
          columns={[
            { key: 'date', header: 'Day', cell: (row) => <DateWords date={row.date} style="full" /> },
            { key: 'kind', header: 'What', cell: (row) => KIND_WORDS[row.kind] },
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
        {why.visits.length > VISITS_SHOWN && (
          <p className="soft small">
            The newest {VISITS_SHOWN} of {why.visits.length}.
          </p>
        )}
      </Sheet>
    </div>
  )
}

const KIND_WORDS = {
  looked: 'looked, fine',
  found: 'found needed',
  renewed: 'renewed',
  reported: 'reported by the client',
} as const

/** "21 weeks (18 to 25, 9 in 10 sure)". */
function sureRange({ median, lower, upper }: { median: number; lower: number; upper: number }): string {
  return `${weeksWords(median)} (${rangeWords(lower, upper)}, 9 in 10 sure)`
}

function figures(why: Why) {
  const { reason, currency, locale } = why
  const money = (minor: number) => moneyWords({ minor: Math.round(minor), currency, locale })
  return [
    {
      term: 'Usually needs doing here after',
      value: why.hereDays ? sureRange(why.hereDays) : weeksWords(reason.medianDays),
    },
    ...(why.routeDays ? [{ term: 'At a typical tank of the route', value: sureRange(why.routeDays) }] : []),
    {
      term: 'How it comes',
      value: `${shapeWords(reason.model.shape)} (shape ${reason.model.shape.toFixed(2)})`,
    },
    { term: 'This plan costs a year', value: money(reason.costPerYear) },
    ...(reason.interval.costPerYearCheapest < reason.costPerYear - 1
      ? [{ term: 'The cheapest costs a year', value: money(reason.interval.costPerYearCheapest) }]
      : []),
    { term: 'Waiting costs a year', value: money(reason.costPerYearWaiting) },
  ]
}

function learnedHref({ equipmentClass, failureMode }: Why): string {
  return `/work-due/learned/${encodeURIComponent(equipmentClass)}/${encodeURIComponent(failureMode)}`
}

function assumptions(why: Why) {
  const { reason, currency, locale } = why
  const money = (minor: number) => moneyWords({ minor: Math.round(minor), currency, locale })
  return [
    { term: 'We come every', value: weeksWords(reason.visitEveryDays) },
    {
      term: 'Doing it in its turn costs',
      value: <Money minor={Math.round(reason.costs.planned)} currency={currency} locale={locale} />,
    },
    { term: 'Found at a visit', value: money(reason.costs.found) },
    { term: 'Called out for it', value: money(reason.costs.callOut) },
    { term: 'Each day unseen', value: money(reason.costs.hiddenCostPerDay) },
    { term: 'Reach the client before us', value: `${Math.round(reason.costs.shareReported * 100)} in 100` },
    ...(why.alsoRenews.length > 0 ? [{ term: 'The same work also renews', value: why.alsoRenews.join(', ') }] : []),
    { term: 'Life model', value: why.modelVersion === 0 ? 'none fitted yet' : `version ${why.modelVersion}` },
  ]
}

const major = (points: readonly { interval: number; cost: number }[], currency: string) =>
  points.map(({ interval, cost }) => ({ interval, cost: cost / minorPerUnit(currency) }))

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

/** To a tenth of a week, which the form takes: saved untouched it says the same again, near enough. */
const weeksTyped = (days: number) => String(Math.round((days / 7) * 10) / 10)
