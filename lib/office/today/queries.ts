import 'server-only'
import { minuteOfDay } from '../booking/local-time'
import { type VisitsNotDone, visitsNotDone } from '../booking/not-done'
import { countProposals } from '../due/count-proposals'
import { type Actor, inBusiness } from '../frame/actor'
import { dayIn } from '../frame/days'
import { answerTo, readStoredAnswers } from '../frame/stored-answer'
import { type SharedShift, sharedShifts } from '../lots/queries'
import { LOT_FINDINGS } from '../lots/read-shifts'
import { type MoneySums, sumInvoices } from '../money/invoice-list'
import { type NamedShortage, PART_SHORTAGES, shortagesAhead } from '../parts/booked-needs'
import { SHORT_REFILLS, type ShortRefill } from '../refills/queries'
import { BACKUP_TOO_OLD_DAYS } from '../settings/last-backup'
import { DANGEROUS_WATER, type DangerousReading, dangerousNow } from './dangerous-readings'
import {
  type AskedVisit,
  type LeftEarly,
  openPromises,
  openRequests,
  type Promised,
  type RefusedCommand,
  refusedCommands,
  type UnsafeFinding,
  unsafeFindings,
  visitsLeftEarly,
} from './decisions'
import { devicesLeftOff, type LeftOff } from './left-off'
import { type Road, roads } from './road'

export type Today = {
  today: string
  /** Minutes since midnight at the business's place. */
  nowMinute: number
  locale: string
  currency: string
  timeZone: string
  requests: AskedVisit[]
  unsafe: UnsafeFinding[]
  /** Water at or past an alarm limit when it was last measured. */
  water: DangerousReading[]
  leftEarly: LeftEarly[]
  /** Booked visits whose day went by with nothing logged, until moved, logged or cancelled. */
  notDone: VisitsNotDone
  /** Tanks at which a visit that is over left something switched off. */
  leftOff: LeftOff[]
  /** Lots in use whose tanks moved together. */
  lotShifts: SharedShift[]
  refills: ShortRefill[]
  promises: Promised[]
  /** Booked visits that will more likely than not lack a part. */
  shortages: NamedShortage[]
  /** What will run out or not last is not worked out yet. */
  isAwaited: boolean
  /** Intervals that the records propose to change. */
  intervals: { devices: number; groups: number }
  roads: Road[]
  money: MoneySums
  backup: { finishedAt: string | null; tooOld: boolean }
  refused: RefusedCommand[]
  /** Nothing is in the register yet: the page says how to begin. */
  isNew: boolean
}

/** All the owner's first screen shows, as of an instant: days are the business's own. */
export function todayOf(actor: Actor, now = new Date()): Promise<Today> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const { timeZone, locale, currency, tanks } = await tx.business.findUniqueOrThrow({
      where: { id: businessId },
      select: {
        ...{ timeZone: true, locale: true, currency: true },
        tanks: { where: { mergedIntoId: null }, select: { id: true }, take: 1 },
      },
    })
    const today = dayIn(timeZone, now)
    const stored = await readStoredAnswers(tx, businessId, [
      SHORT_REFILLS,
      LOT_FINDINGS,
      PART_SHORTAGES,
      DANGEROUS_WATER,
    ])
    const refills = await answerTo(tx, businessId, SHORT_REFILLS, now, { stored })
    const lotShifts = await sharedShifts(tx, businessId, now, stored)
    const shortages = await shortagesAhead(tx, businessId, now, stored)
    const backup = await tx.backupRun.findFirst({ orderBy: { finishedAt: 'desc' }, select: { finishedAt: true } })
    return {
      today,
      nowMinute: minuteOfDay(timeZone, now),
      locale,
      currency,
      timeZone,
      requests: await openRequests(tx, businessId),
      unsafe: await unsafeFindings(tx, businessId, today),
      water: await dangerousNow(tx, businessId, { now, today, stored }),
      leftEarly: await visitsLeftEarly(tx, businessId, today),
      notDone: await visitsNotDone(tx, businessId, now),
      leftOff: await devicesLeftOff(tx, businessId, today),
      lotShifts: lotShifts ?? [],
      refills: refills?.answer ?? [],
      promises: await openPromises(tx, businessId, today),
      shortages: shortages ?? [],
      isAwaited: refills === null || lotShifts === null || shortages === null,
      intervals: await countProposals(tx, businessId),
      roads: await roads(tx, businessId, today, now),
      money: await sumInvoices(tx, businessId, currency, today),
      backup: {
        finishedAt: backup?.finishedAt.toISOString() ?? null,
        tooOld: !backup || now.getTime() - backup.finishedAt.getTime() > BACKUP_TOO_OLD_DAYS * 86_400_000,
      },
      refused: await refusedCommands(tx, businessId, now),
      isNew: tanks.length === 0,
    }
  })
}
