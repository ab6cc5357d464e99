import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { ReadingsChart, SurvivalChart } from '@/components/charts'
import { weeksWords } from '@/components/due/due-words'
import { DriversSheet, rangeWords } from '@/components/learned'
import { Awaited, DateWords, Facts, quantityWords, Sheet, Why as WhyNote } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { slug } from '@/lib/office/frame/schema'
import { type LearnedPair, learnedOf } from '@/lib/office/learned/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'What we have learned' }

const paramsSchema = z.object({ equipmentClass: slug, failureMode: slug })

export default async function LearnedPairPage({
  params,
}: {
  params: Promise<{ equipmentClass: string; failureMode: string }>
}) {
  const actor = await requireActor('due.read')
  const raw = await params
  const asked = paramsSchema.safeParse({
    equipmentClass: safeDecode(raw.equipmentClass),
    failureMode: safeDecode(raw.failureMode),
  })
  const pair = asked.success
    ? await learnedOf(actor, asked.data.equipmentClass, asked.data.failureMode, new Date())
    : null
  if (!pair) notFound()
  const { curves, drivers, trend, locale } = pair
  return (
    <div className="stack">
      <PageHead
        over={<PageLink href="/work-due/learned">What we have learned</PageLink>}
        title={`${pair.className}: ${pair.modeName}`}
        {...(pair.sign ? { sub: `Its sign: ${pair.sign}.` } : {})}
      />
      <WhyNote>{plainWords(pair)}</WhyNote>
      {(curves === null || drivers === null) && <Awaited />}
      {curves !== null && drivers !== null && (
        <div className="halves">
          <Sheet title="How long it lasts">
            <p className="small soft">
              The line is worked out over all tanks, the steps are what was counted, taking nothing for granted
              {curves.band.length > 0 && ', the band how sure the count is'}. Where the line leaves the band, believe
              the steps.
            </p>
            <SurvivalChart
              parametric={curves.fitted}
              nonparametric={curves.counted}
              band={curves.band}
              bandWords="counted, 9 in 10 sure"
              unit="weeks"
              label="Still fine"
              locale={locale}
            />
          </Sheet>
          <DriversSheet drivers={drivers} />
        </div>
      )}
      <div className="halves">
        <Sheet title="As we learned it">
          {trend.length > 1 ? (
            <>
              <p className="small soft">Weeks by which half need it, by the day up to which records were read.</p>
              <ReadingsChart points={trend} unit="weeks" label="Half need it by" locale={locale} />
            </>
          ) : (
            <p className="soft">One version so far; the picture grows as the records are read anew.</p>
          )}
        </Sheet>
        <Sheet title="What this rests on">
          <Facts items={restsOn(pair)} />
          <p className="small soft">
            When not to believe it: where looks are often skipped it reads 4 to 8 % too long (at about three in ten
            missed); where people draw the line between “ok” and “needs it” differently it is their mixture; and what
            wears out in new ways is not in old records.
          </p>
        </Sheet>
      </div>
    </div>
  )
}

const SHAPE_SENTENCE = {
  'by chance':
    'It strikes by chance, whatever its age: doing it earlier does not help; find the cause or look more often.',
  'builds up': 'It builds up: the longer ago, the likelier.',
  'wears out at an age': 'It wears out at an age: up to then hardly ever, then soon.',
} as const

const count = (value: number) => quantityWords({ value })

function plainWords(pair: LearnedPair) {
  const { medianDays, events, lives, tanks } = pair
  return (
    <>
      <strong>
        {medianDays
          ? `Half of the tanks need it by about ${weeksWords(medianDays.median)} (${rangeWords(medianDays.lower, medianDays.upper)}, 9 in 10 sure).`
          : 'How long it lasts is not known yet.'}
      </strong>{' '}
      {SHAPE_SENTENCE[pair.shapeWords]} From {count(lives)} {lives === 1 ? 'stretch' : 'stretches'} since a renewal
      {tanks !== null && ` at ${count(tanks)} ${tanks === 1 ? 'tank' : 'tanks'}`}, {count(events)} of which ended in a
      need
      {pair.source === 'own records' ? '.' : ', and what the trade knows.'}
    </>
  )
}

function restsOn(pair: LearnedPair) {
  const { curves, shapeInterval } = pair
  const range = shapeInterval
    ? `, ${shapeInterval.lower.toFixed(2)} to ${shapeInterval.upper.toFixed(2)}, 9 in 10 sure`
    : ''
  return [
    {
      term: 'Stretches since a renewal, and those that ended in a need',
      value: `${count(pair.lives)}, ${count(pair.events)}`,
    },
    { term: 'How it comes', value: `${pair.shapeWords} (shape ${pair.shape.toFixed(2)}${range})` },
    ...(pair.lookNeeded ? [{ term: 'A look counts when', value: LOOK_WORDS[pair.lookNeeded] ?? pair.lookNeeded }] : []),
    ...(curves ? [{ term: 'Steps and band', value: countedFrom(curves.counts) }] : []),
    { term: 'Worked out', value: `version ${pair.version}` },
    { term: 'Records up to', value: <DateWords date={pair.cutoffOn} style="date" /> },
  ]
}

function countedFrom({ lives, of, tanks }: NonNullable<LearnedPair['curves']>['counts']): string {
  const from =
    lives < of
      ? `${count(lives)} of ${count(of)} stretches, whole tanks at even steps`
      : `${count(lives)} ${lives === 1 ? 'stretch' : 'stretches'} at ${count(tanks)} ${tanks === 1 ? 'tank' : 'tanks'}`
  return `${from}; tanks drawn anew 80 times`
}

const LOOK_WORDS: Record<string, string> = {
  running: 'it is seen running',
  opened: 'it is opened',
  measured: 'it is measured',
}

function safeDecode(text: string): string {
  try {
    return decodeURIComponent(text)
  } catch {
    return ''
  }
}
