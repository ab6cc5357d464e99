import 'server-only'
import type { CountedSource } from '@/lib/science'
import { whyHref } from '../due/queries'
import { groupBy } from '../frame/group-by'
import type { Question } from '../frame/stored-answer'
import { isoOfDay } from '../lanes/day-numbers'
import { demandOf, type PartDemand } from './advice'
import { chanceBy, type DuePart, sourceOf } from './due-parts'
import { isCountedIn, likelyAt } from './likely-at'
import { type NextVisit, readNextVisits } from './next-visit'
import { otherUses } from './other-uses'
import { readBookWithDue } from './parts-book'

/** What is foreseen of one part. */
export type PartOutlook = {
  partId: string
  demand: PartDemand
  /** Devices whose work uses it, and those likeliest to use one while waiting. */
  deviceCount: number
  /** Of those the ones visited in that time, or that call for it at once. */
  visitedCount: number
  devices: DeviceOutlook[]
  /** Used up without work that the lives foresee; null where nothing was. */
  other: CountedSource | null
}

export type DeviceOutlook = ReturnType<typeof deviceOutlook>

/** So many devices are listed; the others are less likely to need one. */
const DEVICES_LISTED = 50

/** What will be used of each part; of one only where that is asked. */
export const PART_OUTLOOKS: Question<PartOutlook[], { partId: string }> = {
  name: 'part-outlooks',
  shape: 1,
  freshForMs: 10 * 60_000,
  workOut: async (tx, businessId, now, only) => {
    const book = await readBookWithDue(tx, businessId, now)
    const { todayDay, dueParts } = book
    const nextVisitOf = await readNextVisits(tx, book, [...new Set(dueParts.map(({ tankId }) => tankId))])
    const counted = await otherUses(tx, businessId, todayDay)
    const devicesOf = groupBy(dueParts, (due) => due.partId)
    return book.parts
      .filter(({ id }) => only === undefined || id === only.partId)
      .map(({ id, leadTimeDays }): PartOutlook => {
        const devices = (devicesOf.get(id) ?? []).map((due) => ({ ...due, nextVisit: nextVisitOf(due.tankId) }))
        const other = counted.get(id) ?? null
        const sources = [...devices.map((due) => sourceOf(due, due.nextVisit.inDays)), ...(other ? [other] : [])]
        const demand = demandOf(sources, leadTimeDays)
        const { coverDays } = demand
        const listed = devices
          .map((due, place) => ({
            due,
            place,
            isCounted: isCountedIn(due, coverDays),
            chance: chanceBy(due, coverDays),
          }))
          .sort((one, other) => Number(other.isCounted) - Number(one.isCounted) || other.chance - one.chance)
          .slice(0, DEVICES_LISTED)
          .map(({ due, place }) => deviceOutlook(due, { todayDay, coverDays, place, of: devices.length }))
        return {
          ...{ partId: id, demand, other, deviceCount: devices.length },
          visitedCount: devices.filter((due) => isCountedIn(due, coverDays)).length,
          devices: listed.sort(likeliestFirst),
        }
      })
  },
}

type Reckoned = { todayDay: number; coverDays: number; place: number; of: number }

function deviceOutlook(due: DuePart & { nextVisit: NextVisit }, { todayDay, coverDays, place, of }: Reckoned) {
  return {
    ...{ equipmentId: due.equipmentId, tankId: due.tankId, device: due.deviceLabel, taskName: due.taskName },
    place: `${due.tankName}, ${due.siteName}`,
    ageDays: due.ageDays,
    dueOn: due.dueDay === null ? null : isoOfDay(due.dueDay),
    isOpen: due.isOpen,
    quantity: due.quantity,
    ...likelyAt(due, coverDays, place, of),
    nextVisitOn: isoOfDay(todayDay + due.nextVisit.inDays),
    isBooked: due.nextVisit.isBooked,
    isUnseen: due.isUnseen,
    whyHref: due.isUnseen ? null : whyHref(due.equipmentId, due.careTask),
  }
}

function likeliestFirst(one: DeviceOutlook, other: DeviceOutlook): number {
  return (
    Number(other.isCounted) - Number(one.isCounted) || other.chance - one.chance || (one.place < other.place ? -1 : 1)
  )
}
