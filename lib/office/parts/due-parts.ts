import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Life, type LifeSpread, needChance, type WearingSource } from '@/lib/science'
import { findMode, findTask, modesOf, tasksRenewing, weibullOf } from '@/lib/trade'
import { ownNames } from '../due/queries'
import { dayOf } from '../lanes/day-numbers'
import { taskName } from '../lanes/due-items'
import { classWords } from '../lanes/lane-views'
import { startingSpread } from '../lanes/life-models'
import { readCadences } from '../lanes/read-history'
import { type StoredReason, storedReasonSchema } from '../lanes/stored-reason'
import { type Fit, fitsOf } from './fits'

/** A piece of work on a device in service that uses a part, and how its life stands today. Days. */
export type DuePart = {
  partId: string
  quantity: number
  equipmentId: string
  tankId: string
  tankName: string
  siteName: string
  deviceLabel: string
  careTask: string
  taskName: string
  failureMode: string
  life: Life
  /** How well that life is known; what one kind of device is wrong by is shared. */
  lifeSpread: LifeSpread
  /** How often somebody comes: what is needed in between waits for them. */
  visitEveryDays: number
  /** The need announces itself: silence until today says that it has not come, and the part is wanted at once. */
  isAnnounced: boolean
  /** Age today, and when last seen fine. Where nobody knows the age, the one that its due date implies. */
  ageDays: number
  okAgeDays: number
  /** The planned interval in force; Infinity: it waits for the need. */
  renewAtDays: number
  /** Where nobody knows the age: days since first sight, and for how many of them it is known to have been fine. */
  met: { sinceDays: number; fineDays: number } | null
  /** Found needed and not yet renewed. */
  isOpen: boolean
  /** Nobody has looked for it yet: the trade's starting figures, and taken to be running still. */
  isUnseen: boolean
  dueDay: number | null
  /** What a second trip costs more than the same work done at this visit, minor units. */
  secondTripMinor: number
}

/** The one place where the life behind a due item is read: the parameters that are stored with it. */
function lifeOfDue(reason: StoredReason): Life {
  return { shape: reason.model.shape, scale: reason.model.scaleDays }
}

const DUE_WITH_PARTS = {
  equipment: { select: { label: true, installedOn: true, firstSeenOn: true } },
  tank: { select: { name: true, site: { select: { name: true } } } },
} as const satisfies Prisma.DueItemInclude
type Row = Prisma.DueItemGetPayload<{ include: typeof DUE_WITH_PARTS }>

/** All devices in service, at these tanks or at all, whose due work uses a part that the business keeps. */
export async function readDueParts(
  tx: Transaction,
  businessId: string,
  fits: readonly Fit[],
  todayDay: number,
  tankIds?: readonly string[],
): Promise<DuePart[]> {
  const atTanks = tankIds ? { tankId: { in: [...tankIds] } } : {}
  const careTasks = [...new Set(fits.map(({ careTask }) => careTask))]
  if (careTasks.length === 0) return []
  const rows = await tx.dueItem.findMany({
    where: {
      ...{ businessId, careTask: { in: careTasks }, ...atTanks },
      equipment: { removedOn: null },
      tank: { archivedAt: null, mergedIntoId: null },
    },
    include: DUE_WITH_PARTS,
    orderBy: [{ equipmentId: 'asc' }, { careTask: 'asc' }],
  })
  const lanes = await tx.lane.findMany({
    where: tankIds
      ? { businessId, equipmentId: { in: rows.map(({ equipmentId }) => equipmentId) } }
      : { businessId, failureMode: { in: [...new Set(rows.map(({ failureMode }) => failureMode))] } },
    select: { equipmentId: true, failureMode: true, originOn: true, lastOkOn: true },
  })
  const laneOf = new Map(lanes.map((lane) => [`${lane.equipmentId} ${lane.failureMode}`, lane]))
  const names = await ownNames(tx, businessId)
  const unseen = await readUnseen(tx, businessId, fits, { seen: rows, names, todayDay, atTanks })
  const looked = rows.flatMap((row) => {
    const lane = laneOf.get(`${row.equipmentId} ${row.failureMode}`)
    const reason = storedReasonSchema.parse(row.reason)
    if (reason.rule === 'not-watched') return []
    return fitsOf(fits, row).map(
      ({ partId, quantity }): DuePart => ({
        ...{ partId, quantity, equipmentId: row.equipmentId, tankId: row.tankId, failureMode: row.failureMode },
        ...{ tankName: row.tank.name, siteName: row.tank.site.name, careTask: row.careTask },
        deviceLabel: row.equipment.label || classWords(row.equipmentClass, names),
        taskName: taskName(row.careTask, names),
        life: lifeOfDue(reason),
        ...knownBy(row.equipmentClass, row.failureMode, reason.model.spread),
        visitEveryDays: reason.visitEveryDays,
        ...agesOf(row, reason, lane ?? null, todayDay),
        isOpen: reason.rule === 'need-open',
        isUnseen: false,
        dueDay: row.dueOn ? dayOf(row.dueOn) : null,
        secondTripMinor: Math.max(0, reason.costs.callOut - reason.costs.found),
      }),
    )
  })
  return [...looked, ...unseen]
}

type Unseen = {
  seen: readonly Row[]
  names: ReadonlyMap<string, string>
  todayDay: number
  atTanks: { tankId?: { in: string[] } }
}

/** Devices in service whose work uses a part and at which nobody has looked for what calls for that work. */
async function readUnseen(
  tx: Transaction,
  businessId: string,
  fits: readonly Fit[],
  { seen, names, todayDay, atTanks }: Unseen,
): Promise<DuePart[]> {
  const known = new Set(seen.map(({ equipmentId, careTask }) => `${equipmentId} ${careTask}`))
  const devices = await tx.equipment.findMany({
    where: {
      ...{ businessId, removedOn: null, tank: { archivedAt: null, mergedIntoId: null }, ...atTanks },
      equipmentClass: { in: [...new Set(fits.map(({ equipmentClass }) => equipmentClass))] },
    },
    select: {
      ...{ id: true, tankId: true, equipmentClass: true, label: true, installedOn: true, firstSeenOn: true },
      tank: DUE_WITH_PARTS.tank,
    },
    orderBy: { id: 'asc' },
  })
  const visitEveryDays = await readCadences(tx, businessId, [...new Set(devices.map(({ tankId }) => tankId))])
  const tasks = [...new Set(fits.map(({ careTask }) => careTask))].flatMap((slug) => findTask(slug) ?? [])
  return devices.flatMap((device) =>
    tasks
      .filter((task) => task.equipmentClass === device.equipmentClass && !known.has(`${device.id} ${task.slug}`))
      .flatMap((task) => {
        // The modes that this task and no shorter one sees to.
        const mode = task.renews.flatMap((slug) => (tasksRenewing(slug)[0] === task ? (findMode(slug) ?? []) : []))[0]
        if (!mode) return []
        const { shape, scaleDays } = weibullOf(mode)
        const since = device.installedOn ?? device.firstSeenOn
        const halfLife = device.installedOn ? 0 : (mode.medianWeeks * 7) / 2
        const ageDays = (since ? Math.max(0, todayDay - dayOf(since)) : 0) + halfLife
        return fitsOf(fits, { equipmentId: device.id, careTask: task.slug }).map(
          ({ partId, quantity }): DuePart => ({
            ...{ partId, quantity, equipmentId: device.id, tankId: device.tankId, failureMode: mode.slug },
            ...{ tankName: device.tank.name, siteName: device.tank.site.name },
            ...{ careTask: task.slug, taskName: taskName(task.slug, names), life: { shape, scale: scaleDays } },
            deviceLabel: device.label || classWords(device.equipmentClass, names),
            ...knownBy(device.equipmentClass, mode.slug, undefined),
            visitEveryDays: visitEveryDays(device.tankId),
            ...{ ageDays, okAgeDays: ageDays, renewAtDays: ageLimitOf(task.slug) },
            ...{ met: null, isOpen: false, isUnseen: true, dueDay: null, secondTripMinor: 0 },
          }),
        )
      }),
  )
}

/** A due item of an earlier day does not say how well its life is known: then as well as the trade's figures are. */
function knownBy(equipmentClass: string, failureMode: string, spread: StoredReason['model']['spread']) {
  return {
    isAnnounced: findMode(failureMode)?.announcesItself ?? false,
    lifeSpread: { group: `${equipmentClass} ${failureMode}`, ...(spread ?? startingSpread(failureMode)) },
  }
}

type LaneDays = { originOn: Date | null; lastOkOn: Date | null }

function agesOf(row: Row, reason: StoredReason, lane: LaneDays | null, todayDay: number) {
  const ageDays = ageOf(row, reason, lane, todayDay)
  // A measured path that crosses its threshold brings the work forward, whatever the interval.
  const wornAt =
    reason.rule === 'wears' && row.dueOn ? Math.max(1, ageDays + dayOf(row.dueOn) - todayDay) : Number.POSITIVE_INFINITY
  const renewAtDays = Math.min(row.intervalDays ?? Number.POSITIVE_INFINITY, ageLimitOf(row.careTask), wornAt)
  const isAnnounced = findMode(row.failureMode)?.announcesItself ?? false
  const met = reason.rule === 'age-unknown' || !lane?.originOn ? metOf(row, lane, isAnnounced, todayDay) : null
  if (isAnnounced) return { renewAtDays, ageDays, okAgeDays: ageDays, met }
  const sinceOk = lane?.lastOkOn ? todayDay - dayOf(lane.lastOkOn) : ageDays
  return { renewAtDays, ageDays, okAgeDays: Math.max(0, ageDays - Math.max(0, sinceOk)), met }
}

/** What is known of a device whose age nobody knows: null where it was never seen fine, or somebody said when it was put in. */
function metOf(row: Row, lane: LaneDays | null, isAnnounced: boolean, todayDay: number): DuePart['met'] {
  const { installedOn, firstSeenOn } = row.equipment
  if (lane?.originOn || installedOn || !firstSeenOn || !lane?.lastOkOn) return null
  const sinceDays = Math.max(0, todayDay - dayOf(firstSeenOn))
  const fineDays = isAnnounced ? sinceDays : Math.min(sinceDays, Math.max(0, dayOf(lane.lastOkOn) - dayOf(firstSeenOn)))
  return { sinceDays, fineDays }
}

/** The age since the last renewal; where it is not known the one that the due date takes it to have, else half of a usual life at first sight. */
function ageOf(row: Row, reason: StoredReason, lane: LaneDays | null, todayDay: number): number {
  if (lane?.originOn) return Math.max(0, todayDay - dayOf(lane.originOn))
  if (row.dueOn && row.intervalDays && reason.rule === 'age-unknown')
    return Math.max(0, row.intervalDays - (dayOf(row.dueOn) - todayDay))
  const seenOn = row.equipment.installedOn ?? row.equipment.firstSeenOn
  const since = seenOn ? Math.max(0, todayDay - dayOf(seenOn)) : 0
  return since + (row.equipment.installedOn ? 0 : reason.medianDays / 2)
}

/** A task's other modes may forbid a greater age than the one it is due for. */
function ageLimitOf(careTask: string): number {
  const task = findTask(careTask)
  if (!task) return Number.POSITIVE_INFINITY
  const limits = modesOf(task.equipmentClass).filter(({ slug }) => task.renews.includes(slug))
  return Math.min(
    Number.POSITIVE_INFINITY,
    ...limits.map(({ ageLimitWeeks }) => (ageLimitWeeks ?? Number.POSITIVE_INFINITY) * 7),
  )
}

/** Beyond any age that a device reaches: what is open is needed at once. */
const SURELY_OVER = 100

/** The same as a source of demand; nothing is renewed before the next visit, `visitInDays` from now, but what announces itself and is wanted at once. */
export function sourceOf(due: DuePart, visitInDays: number): WearingSource {
  const { life, quantity, renewAtDays, ageDays, okAgeDays, isAnnounced, lifeSpread } = due
  const visits = { notBefore: Math.max(0, visitInDays), visitEvery: due.visitEveryDays }
  const common = { life, quantity, renewAt: renewAtDays, ...visits }
  const known = { ...common, lifeSpread, isMetAtOnce: isAnnounced }
  if (!due.isOpen && due.met) {
    const { sinceDays: age, fineDays: okAge } = due.met
    const plannedIn = Number.isFinite(renewAtDays) ? Math.max(0, renewAtDays - ageDays) : Number.POSITIVE_INFINITY
    return { ...known, isMetByChance: true, age, okAge, plannedIn }
  }
  if (!due.isOpen) return { ...known, age: ageDays, okAge: okAgeDays }
  const scale = 'draws' in life ? Math.max(...life.draws.map((draw) => draw.scale)) : life.scale
  return { ...common, age: scale * SURELY_OVER, okAge: 0 }
}

/** Chance that the need has come within so many days, as the forecast of all devices draws it. */
export function chanceBy(due: DuePart, inDays: number): number {
  return due.isOpen ? 1 : needChance(sourceOf(due, 0), Math.max(0, inDays))
}
