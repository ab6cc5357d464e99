import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import {
  type Container,
  fillTo,
  REFILL_KINDS,
  type Refill,
  type RefillKind,
  type RefillVerdict,
  refillCautions,
  refillKindOf,
  refillOf,
  refillWords,
  usageWords,
} from '@/lib/trade'
import { dateFormat } from '../frame/formats'
import { dayOf, isoOfDay } from '../lanes/day-numbers'
import { type NextVisit, visitsToCome } from './next-visits'
import { asRecords, type LevelRow, readLevels } from './read-levels'

/** One container with its answer, for a page. Days are local. */
export type RefillView = {
  id: string
  tankId: string
  kind: RefillKind
  kindName: string
  label: string
  unit: string
  capacity: number
  emptyAt: number
  filledBy: 'technician' | 'site-staff'
  device: string | null
  /** How its level is read. */
  how: string
  verdict: RefillVerdict
  words: string
  /** What is known of its use, for whoever stands before it. */
  usageWords: string
  emptyOn: string | null
  nextVisit: NextVisit | null
  /** Filled to this level it lasts until the visit after `nextVisit`, or after today where today is a visit. */
  fill: { level: number; fits: boolean; untilOn: string } | null
  cautions: string[]
  levels: LevelRow[]
}

export type ReservoirRow = {
  id: string
  tankId: string
  kind: string
  label: string
  unit: string
  capacity: { toNumber: () => number }
  emptyAt: { toNumber: () => number }
  filledBy: string
  equipment: { label: string } | null
}
export const RESERVOIR_COLUMNS = {
  ...{ id: true, tankId: true, kind: true, label: true, unit: true, capacity: true, emptyAt: true, filledBy: true },
  equipment: { select: { label: true } },
} as const

/** The container as the rules need it. */
export function containerOf(row: ReservoirRow): Container {
  return {
    ...{ kind: refillKindOf(row.kind), label: row.label, unit: row.unit },
    capacity: row.capacity.toNumber(),
    emptyAt: row.emptyAt.toNumber(),
    filledBy: row.filledBy === 'site-staff' ? 'site-staff' : 'technician',
  }
}

/** A day as the sentences say it: "3 Dec", with the year where it is not this one. */
export function dayWordsFor(today: string, locale: string): (day: number) => string {
  const near = dateFormat(locale, { timeZone: 'UTC', day: 'numeric', month: 'short' })
  const far = dateFormat(locale, { timeZone: 'UTC', day: 'numeric', month: 'short', year: 'numeric' })
  return (day) => {
    const iso = isoOfDay(day)
    return (iso.slice(0, 4) === today.slice(0, 4) ? near : far).format(new Date(iso))
  }
}

/** The first visit to come that is later than the last level: one of the same day has filled it already. */
export function nextVisitOf(visits: readonly NextVisit[], lastLevelOn: string | null): NextVisit | null {
  return visits.find(({ on }) => lastLevelOn === null || on > lastLevelOn) ?? null
}

/** Containers with their answers as of a day. Everything is worked out as it is read: a visit that was moved counts at once. */
export async function refillViews(
  tx: Transaction,
  businessId: string,
  rows: readonly ReservoirRow[],
  { today, locale }: { today: string; locale: string },
): Promise<RefillView[]> {
  if (rows.length === 0) return []
  const levels = await readLevels(
    tx,
    businessId,
    rows.map(({ id }) => id),
  )
  const asked = new Map(rows.map(({ tankId }) => [tankId, { lastLevelOn: today }]))
  const visits = await visitsToCome(tx, businessId, asked, today)
  const formatDay = dayWordsFor(today, locale)
  return rows.map((row): RefillView => {
    const own = levels.get(row.id) ?? []
    const container = containerOf(row)
    const kind = refillKindOf(row.kind)
    const next = nextVisitOf(visits.get(row.tankId) ?? [], own.at(-1)?.on ?? null)
    const nextVisitDay = next ? dayOf(new Date(next.on)) : null
    const refill = refillOf(container, asRecords(own), nextVisitDay)
    const fill = fillView(container, refill, visits.get(row.tankId) ?? [], today)
    return {
      ...container,
      ...{ id: row.id, tankId: row.tankId, kind, kindName: REFILL_KINDS[kind].name, how: REFILL_KINDS[kind].how },
      device: row.equipment?.label ?? null,
      verdict: refill.verdict,
      words: refillWords(container, refill, {
        ...{ formatDay, nextVisitDay, today: dayOf(new Date(today)) },
        visitIsBooked: next?.visitId != null,
      }),
      usageWords: usageWords(container, refill, formatDay),
      emptyOn: refill.empty ? isoOfDay(refill.empty.day) : null,
      nextVisit: next,
      fill,
      cautions: refillCautions(kind, row.unit, container.capacity - (refill.left ?? 0) - container.emptyAt).map(
        ({ text }) => text,
      ),
      levels: own,
    }
  })
}

/** Filled today, it should last until the next visit after today. */
function fillView(
  container: Container,
  refill: Refill,
  visits: readonly NextVisit[],
  today: string,
): RefillView['fill'] {
  const after = visits.find(({ on }) => on > today)
  const fill = fillTo(container, refill, dayOf(new Date(today)), after ? dayOf(new Date(after.on)) : null)
  return fill && { level: fill.level, fits: fill.fits, untilOn: isoOfDay(fill.untilDay) }
}
