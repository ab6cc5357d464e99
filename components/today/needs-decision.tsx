import type { FormAction } from '@/lib/office/frame/schema'
import { ButtonLink, DateWords, Decision, Decisions, dateWords, Empty, Notice, Sheet } from '../paper'
import { PageLink } from '../shell'
import { KeepForm } from './keep-form'
import { LongWords } from './long-words'
import { type PartShortage, PartsMissing } from './parts-missing'
import { type SharedLotShift, SharedLotShifts } from './shared-lot-shifts'
import { type ShortRefill, ShortRefills } from './short-refills'
import { bookHref, dueWords } from './today-view'
import { type NotDone, VisitsNotDone } from './visits-not-done'

type Request = {
  requestId: string
  tankName: string
  siteName: string
  clientName: string
  words: string
  askedAt: string
}
type Unsafe = {
  findingId: string
  tankId: string
  tankName: string
  siteName: string
  device: string
  mode: string
  failed: boolean
  foundOn: string
  words: string
  bookedOn: string | null
}
type Water = {
  readingId: string
  tankId: string
  tankName: string
  siteName: string
  words: string
  takenOn: string
  bookedOn: string | null
}
type LeftEarly = {
  visitId: string
  tankId: string
  tankName: string
  siteName: string
  date: string
  technician: string
  reason: string
  noAccess: boolean
}
type Late = {
  id: string
  what: string
  daysLate: number
  person: string
  tankId: string
  tankName: string
  siteName: string
}

type LeftOff = {
  tankId: string
  tankName: string
  siteName: string
  devices: readonly string[]
  date: string
  technician: string
  bookedOn: string | null
}

type Props = {
  unsafe: readonly Unsafe[]
  water: readonly Water[]
  requests: readonly Request[]
  leftEarly: readonly LeftEarly[]
  notDone: { visits: readonly NotDone[]; total: number }
  leftOff: readonly LeftOff[]
  refills: readonly ShortRefill[]
  lotShifts: readonly SharedLotShift[]
  late: readonly Late[]
  shortages: readonly PartShortage[]
  /** What will run out or not last is not worked out yet. */
  isAwaited: boolean
  intervals: { devices: number; groups: number }
  keep: FormAction
  locale: string
  timeZone: string
  today: string
}

/** What waits for the owner's word: what is unsafe first, then who asked, what was left undone and what was promised. */
export function NeedsDecision(props: Props) {
  const {
    unsafe,
    water,
    requests,
    leftEarly,
    notDone,
    leftOff,
    refills,
    lotShifts,
    late,
    shortages,
    isAwaited,
    intervals,
    keep,
    locale,
  } = props
  const { timeZone, today } = props
  const day = (date: string) => dateWords({ date, style: 'short', locale, today })
  const count =
    unsafe.length +
    leftOff.length +
    water.length +
    requests.length +
    leftEarly.length +
    notDone.total +
    lotShifts.length +
    refills.length +
    late.length +
    shortages.length +
    (intervals.groups > 0 ? 1 : 0)
  return (
    <Sheet title="Needs a decision" {...(count > 0 ? { tone: 'call' as const } : {})}>
      {isAwaited && (
        <Notice title="Parts, refills and lots are still being worked out.">
          What will run out or not last is not in here yet. Look again in a minute.
        </Notice>
      )}
      {count === 0 && !isAwaited && (
        <Empty title="Nothing waits for you">
          Requests of clients, visits left early or not done, unsafe findings, dangerous readings, missing parts, what
          will not last and late promises come in here.
        </Empty>
      )}
      <Decisions>
        {unsafe.map((row) => (
          <Decision
            key={row.findingId}
            title={
              <>
                <b className="call">Unsafe</b>: {row.device} at{' '}
                <PageLink href={`/tanks/${row.tankId}`}>
                  {row.tankName}, {row.siteName}
                </PageLink>
              </>
            }
            sub={
              <>
                {row.mode}, {row.failed ? 'failed' : 'needs it'}, found {day(row.foundOn)}
                {row.words === '' ? '' : `: “${row.words}”`}.{' '}
                {row.bookedOn === null ? 'No visit is booked.' : `Next visit ${day(row.bookedOn)}.`} Keep people and
                animals away from what can hurt them until somebody qualified has put it right.
              </>
            }
            actions={
              <ButtonLink
                href={bookHref(row.tankId, 'call_out', `${row.device}: ${row.mode}`)}
                go={row.bookedOn === null}
              >
                Book
              </ButtonLink>
            }
          />
        ))}
        {leftOff.map((row) => (
          <Decision
            key={`${row.tankId} ${row.date}`}
            title={
              <>
                <b className="call">Switched off</b>: {row.devices.join(', ')} at{' '}
                <PageLink href={`/tanks/${row.tankId}`}>
                  {row.tankName}, {row.siteName}
                </PageLink>
              </>
            }
            sub={
              <>
                {row.technician === '' ? '' : `${row.technician}, `}
                {day(row.date)}. The visit ended without switching {row.devices.length === 1 ? 'it' : 'them'} on.{' '}
                {row.bookedOn === null ? 'No visit is booked.' : `Next visit ${day(row.bookedOn)}.`} Call whoever is
                there today.
              </>
            }
            actions={
              <ButtonLink
                href={bookHref(row.tankId, 'return_check', `Still off: ${row.devices.join(', ')}`)}
                go={row.bookedOn === null}
              >
                Book
              </ButtonLink>
            }
          />
        ))}
        {water.map((row) => (
          <Decision
            key={row.readingId}
            title={
              <>
                <b className="call">Dangerous water</b>:{' '}
                <PageLink href={`/tanks/${row.tankId}`}>
                  {row.tankName}, {row.siteName}
                </PageLink>
              </>
            }
            sub={
              <>
                {row.words} Measured {day(row.takenOn)}, and not measured again since.{' '}
                {row.bookedOn === null ? 'No visit is booked.' : `Next visit ${day(row.bookedOn)}.`} Call whoever is
                there today.
              </>
            }
            actions={
              <ButtonLink
                href={bookHref(row.tankId, 'call_out', `Dangerous water: ${row.words}`)}
                go={row.bookedOn === null}
              >
                Book
              </ButtonLink>
            }
          />
        ))}
        <PartsMissing rows={shortages} locale={locale} today={today} />
        {requests.map((row) => (
          <Decision
            key={row.requestId}
            title={
              <>
                <b>
                  {row.tankName}, {row.siteName}
                </b>{' '}
                asked for a visit: <LongWords words={row.words} href="/plan/requests" />
              </>
            }
            sub={
              <>
                {row.clientName}, <DateWords date={row.askedAt} style="moment" locale={locale} timeZone={timeZone} />
              </>
            }
            actions={
              <ButtonLink href={`/plan/book?request=${row.requestId}`} go>
                Book
              </ButtonLink>
            }
          />
        ))}
        {leftEarly.map((row) => (
          <Decision
            key={row.visitId}
            title={
              <>
                <b>{row.noAccess ? 'Not let in' : 'Left early'}</b>: {row.tankName}, {row.siteName}
                {row.reason !== '' && ', '}
                {row.reason !== '' && <LongWords words={row.reason} href={`/plan/visits/${row.visitId}`} />}
              </>
            }
            sub={`${row.technician === '' ? '' : `${row.technician}, `}${day(row.date)}. Nothing was booked or moved after it.`}
            actions={
              <ButtonLink
                href={bookHref(
                  row.tankId,
                  row.noAccess ? 'routine' : 'return_check',
                  row.noAccess ? `Not let in on ${row.date}` : `What was left undone on ${row.date}`,
                )}
              >
                Book it in
              </ButtonLink>
            }
          />
        ))}
        <VisitsNotDone {...notDone} locale={locale} today={today} />
        <SharedLotShifts shifts={lotShifts} />
        <ShortRefills refills={refills} locale={locale} today={today} />
        {late.map((row) => (
          <Decision
            key={row.id}
            title={
              <>
                <b>Promised to client</b>: {row.what}
              </>
            }
            sub={
              <>
                {row.tankName}, {row.siteName}, {row.person === '' ? 'nobody’s' : row.person},{' '}
                <span className="call">{dueWords(row.daysLate)}</span>
              </>
            }
            actions={
              <>
                <KeepForm action={keep} followUpId={row.id} />
                <ButtonLink href={bookHref(row.tankId, 'return_check', row.what)}>Book it in</ButtonLink>
              </>
            }
          />
        ))}
        {intervals.groups > 0 && (
          <Decision
            title={
              <>
                <b>Intervals</b>: your records propose{' '}
                {intervals.groups === 1 ? 'one change' : `${intervals.groups} changes`}
              </>
            }
            sub={`At ${intervals.devices === 1 ? 'one device' : `${intervals.devices} devices`}. Nothing changes until you say so.`}
            actions={<ButtonLink href="/work-due/intervals">Decide</ButtonLink>}
          />
        )}
      </Decisions>
    </Sheet>
  )
}
