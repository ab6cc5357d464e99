import type { Metadata } from 'next'
import { ButtonLink, dateWords, Empty, Problem } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { countWords, MoneySheet, NeedsDecision, OnTheRoad, Promised, RefusedSheet } from '@/components/today'
import { requireActor } from '@/lib/office/people/session'
import { type Today, todayOf } from '@/lib/office/today/queries'
import { keepPromiseAction } from './actions'

export const metadata: Metadata = { title: 'Today' }

export default async function TodayPage() {
  const actor = await requireActor('today.read')
  const day = await todayOf(actor)
  const { locale, timeZone, today } = day
  return (
    <>
      <PageHead title={dateWords({ date: today, style: 'day', locale })} sub={dayWords(day)} />
      {day.isNew && (
        <Empty title="Nothing is in the register yet">
          <p>
            Add a client, then their site, then its tank; or bring in the records you have. From then on this page is
            where the day begins.
          </p>
          <div className="actions">
            <ButtonLink href="/clients/new" go>
              Add a client
            </ButtonLink>
            <ButtonLink href="/tanks/new">Take on a tank</ButtonLink>
            <ButtonLink href="/imports/new">Bring in old records</ButtonLink>
          </div>
        </Empty>
      )}
      {day.backup.tooOld && !day.isNew && <BackupWarning backup={day.backup} locale={locale} timeZone={timeZone} />}
      <div className="wide-narrow">
        <div className="stack">
          <NeedsDecision
            unsafe={day.unsafe}
            water={day.water}
            requests={day.requests}
            leftEarly={day.leftEarly}
            notDone={day.notDone}
            leftOff={day.leftOff}
            refills={day.refills}
            lotShifts={day.lotShifts}
            late={day.promises.filter((promise) => promise.daysLate > 0)}
            shortages={day.shortages}
            isAwaited={day.isAwaited}
            intervals={day.intervals}
            keep={keepPromiseAction}
            locale={locale}
            timeZone={timeZone}
            today={today}
          />
          <Promised rows={day.promises.filter((promise) => promise.daysLate <= 0)} keep={keepPromiseAction} />
          <RefusedSheet rows={day.refused} locale={locale} timeZone={timeZone} />
        </div>
        <div className="stack">
          <OnTheRoad roads={day.roads} nowMinute={day.nowMinute} />
          <MoneySheet money={day.money} currency={day.currency} locale={locale} />
        </div>
      </div>
    </>
  )
}

type BackupProps = Pick<Today, 'backup' | 'locale' | 'timeZone'>

function BackupWarning({ backup, locale, timeZone }: BackupProps) {
  const { finishedAt } = backup
  const last = finishedAt === null ? null : dateWords({ date: finishedAt, style: 'moment', locale, timeZone })
  return (
    <Problem title={last === null ? 'No backup yet.' : `The last backup is of ${last}.`}>
      <p>
        If this computer fails you lose {last === null ? 'everything' : 'what came since'}. Whoever looks after this
        machine runs <code>npm run backup</code>.
      </p>
    </Problem>
  )
}

/** How the day stands, in a sentence or three. */
function dayWords({ roads, unsafe, leftOff, water, backup, locale, timeZone }: Today): string {
  const stops = roads.flatMap((road) => road.stops)
  const done = stops.filter((stop) => stop.course === 'done').length
  const routes = roads.filter((road) => road.technicianId !== '').length
  const onTheRoad =
    stops.length === 0
      ? 'No stops today.'
      : `${countWords(stops.length, 'stop')} on ${countWords(routes, 'route')}, ${done} done.`
  const alarms = [
    ...(unsafe.length > 0 ? [countWords(unsafe.length, 'unsafe finding')] : []),
    ...(leftOff.length > 0 ? [`something switched off at ${countWords(leftOff.length, 'tank')}`] : []),
    ...(water.length > 0 ? [countWords(water.length, 'dangerous reading')] : []),
  ]
  const said = alarms.join(', ')
  const safe = said === '' ? 'Nothing unsafe.' : `${said.charAt(0).toUpperCase()}${said.slice(1)}.`
  const saved =
    backup.finishedAt === null || backup.tooOld
      ? ''
      : ` Last backup ${dateWords({ date: backup.finishedAt, style: 'moment', locale, timeZone })}.`
  return `${onTheRoad} ${safe}${saved}`
}
