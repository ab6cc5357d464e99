import 'server-only'
import { Prisma } from '@/generated/prisma/client'
import type { Transaction } from '@/lib/platform/db/scope'
import { type Life, type LifeSpread, needChance, type WearingSource } from '@/lib/science'
import { findMode, findTask, modesOf, tasksRenewing, weibullOf } from '@/lib/trade'
import { dayOf } from '../lanes/day-numbers'
import { taskName } from '../lanes/due-items'
import { classWords } from '../lanes/lane-views'
import { startingSpread } from '../lanes/life-models'
import { readCadences } from '../lanes/read-history'
import { storedReasonSchema } from '../lanes/stored-reason'
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

/** Of a due item's reason what its life and its costs are. The rest, most of it words and a drawn band, stays in the database. */
const lifeReasonSchema = storedReasonSchema.pick({
  rule: true,
  medianDays: true,
  costs: true,
  model: true,
  visitEveryDays: true,
})
type LifeReason = ReturnType<typeof lifeReasonSchema.parse>
const NOT_OF_LIFE = Object.keys(storedReasonSchema.shape).filter((name) => !(name in lifeReasonSchema.shape))

/** The one place where the life behind a due item is read: the parameters that are stored with it. */
function lifeOfDue(reason: LifeReason): Life {
  return { shape: reason.model.shape, scale: reason.model.scaleDays }
}

/** A due item with its device, its place, and the days of its lane. */
type Row = {
  equipmentId: string
  tankId: string
  careTask: string
  failureMode: string
  equipmentClass: string
  dueOn: Date | null
  intervalDays: number | null
  reason: unknown
  label: string
  installedOn: Date | null
  firstSeenOn: Date | null
  originOn: Date | null
  lastOkOn: Date | null
  tankName: string
  siteName: string
}

export type DuePartsAsked = {
  fits: readonly Fit[]
  names: ReadonlyMap<string, string>
  todayDay: number
  /** At these tanks; left out: at all. */
  tankIds?: readonly string[] | undefined
}

/** All devices in service, at these tanks or at all, whose due work uses a part that the business keeps. */
export async function readDueParts(tx: Transaction, businessId: string, asked: DuePartsAsked): Promise<DuePart[]> {
  const { fits, names, todayDay, tankIds } = asked
  const careTasks = [...new Set(fits.map(({ careTask }) => careTask))]
  if (careTasks.length === 0) return []
  // Said of the lanes too, which stand at the tank of their due item: else all of the business are read.
  const atTanks = (of: 'due' | 'lane') =>
    tankIds ? Prisma.sql`AND ${Prisma.raw(of)}.tank_id = ANY (${[...tankIds]}::uuid[])` : Prisma.empty
  const rows = await tx.$queryRaw<Row[]>`
    SELECT due.equipment_id AS "equipmentId", due.tank_id AS "tankId", due.care_task AS "careTask", due.failure_mode AS "failureMode",
      due.equipment_class AS "equipmentClass", due.due_on AS "dueOn", due.interval_days AS "intervalDays", due.reason - ${NOT_OF_LIFE} AS reason,
      equipment.label, equipment.installed_on AS "installedOn", equipment.first_seen_on AS "firstSeenOn",
      lane.origin_on AS "originOn", lane.last_ok_on AS "lastOkOn", tank.name AS "tankName", site.name AS "siteName"
    FROM due_item due
    JOIN equipment ON equipment.business_id = due.business_id AND equipment.id = due.equipment_id
    JOIN tank ON tank.business_id = due.business_id AND tank.id = due.tank_id
    JOIN site ON site.business_id = tank.business_id AND site.id = tank.site_id
    LEFT JOIN lane ON lane.business_id = due.business_id AND lane.equipment_id = due.equipment_id AND lane.failure_mode = due.failure_mode
      ${atTanks('lane')}
    WHERE due.business_id = ${businessId}::uuid AND due.care_task = ANY (${careTasks})
      ${atTanks('due')}
      AND equipment.removed_on IS NULL AND tank.archived_at IS NULL AND tank.merged_into_id IS NULL
    ORDER BY due.equipment_id, due.care_task`
  const unseen = await readUnseen(tx, businessId, asked)
  const looked = rows.flatMap((row) => {
    const reason = lifeReasonSchema.parse(row.reason)
    if (reason.rule === 'not-watched') return []
    const { isAnnounced, lifeSpread } = knownBy(row.equipmentClass, row.failureMode, reason.model.spread)
    const { ageDays, okAgeDays, renewAtDays, met } = agesOf(row, reason, todayDay)
    // Field by field: of very many devices, what is spread together takes several times as long and as much room.
    return fitsOf(fits, row).map(
      ({ partId, quantity }): DuePart => ({
        partId,
        quantity,
        equipmentId: row.equipmentId,
        tankId: row.tankId,
        tankName: row.tankName,
        siteName: row.siteName,
        deviceLabel: row.label || classWords(row.equipmentClass, names),
        careTask: row.careTask,
        taskName: taskName(row.careTask, names),
        failureMode: row.failureMode,
        life: lifeOfDue(reason),
        lifeSpread,
        visitEveryDays: reason.visitEveryDays,
        isAnnounced,
        ageDays,
        okAgeDays,
        renewAtDays,
        met,
        isOpen: reason.rule === 'need-open',
        isUnseen: false,
        dueDay: row.dueOn ? dayOf(row.dueOn) : null,
        secondTripMinor: Math.max(0, reason.costs.callOut - reason.costs.found),
      }),
    )
  })
  return [...looked, ...unseen]
}

type UnseenRow = Pick<
  Row,
  'equipmentId' | 'tankId' | 'careTask' | 'equipmentClass' | 'label' | 'tankName' | 'siteName'
> &
  Pick<Row, 'installedOn' | 'firstSeenOn'>

/** Devices in service whose work uses a part and at which nobody has looked for what calls for that work. */
async function readUnseen(tx: Transaction, businessId: string, asked: DuePartsAsked): Promise<DuePart[]> {
  const { fits, names, todayDay, tankIds } = asked
  const tasks = [...new Set(fits.map(({ careTask }) => careTask))].flatMap((slug) => findTask(slug) ?? [])
  const rows = await tx.$queryRaw<UnseenRow[]>`
    SELECT equipment.id AS "equipmentId", equipment.tank_id AS "tankId", wanted.task AS "careTask", equipment.equipment_class AS "equipmentClass",
      equipment.label, equipment.installed_on AS "installedOn", equipment.first_seen_on AS "firstSeenOn",
      tank.name AS "tankName", site.name AS "siteName"
    FROM unnest(${tasks.map((task) => task.equipmentClass)}::text[], ${tasks.map(({ slug }) => slug)}::text[])
      WITH ORDINALITY wanted (class, task, place)
    JOIN equipment ON equipment.business_id = ${businessId}::uuid AND equipment.equipment_class = wanted.class
    JOIN tank ON tank.business_id = equipment.business_id AND tank.id = equipment.tank_id
    JOIN site ON site.business_id = tank.business_id AND site.id = tank.site_id
    WHERE equipment.removed_on IS NULL AND tank.archived_at IS NULL AND tank.merged_into_id IS NULL
      ${tankIds ? Prisma.sql`AND equipment.tank_id = ANY (${[...tankIds]}::uuid[])` : Prisma.empty}
      AND NOT EXISTS (SELECT 1 FROM due_item due WHERE due.business_id = equipment.business_id
        AND due.equipment_id = equipment.id AND due.care_task = wanted.task)
    ORDER BY equipment.id, wanted.place`
  if (rows.length === 0) return []
  const visitEveryDays = await readCadences(tx, businessId, [...new Set(rows.map(({ tankId }) => tankId))])
  return rows.flatMap((row) => {
    const task = findTask(row.careTask)
    // The modes that this task and no shorter one sees to.
    const mode = task?.renews.flatMap((slug) => (tasksRenewing(slug)[0] === task ? (findMode(slug) ?? []) : []))[0]
    if (!mode) return []
    const { shape, scaleDays } = weibullOf(mode)
    const since = row.installedOn ?? row.firstSeenOn
    const halfLife = row.installedOn ? 0 : (mode.medianWeeks * 7) / 2
    const ageDays = (since ? Math.max(0, todayDay - dayOf(since)) : 0) + halfLife
    const { isAnnounced, lifeSpread } = knownBy(row.equipmentClass, mode.slug, undefined)
    return fitsOf(fits, row).map(
      ({ partId, quantity }): DuePart => ({
        partId,
        quantity,
        equipmentId: row.equipmentId,
        tankId: row.tankId,
        tankName: row.tankName,
        siteName: row.siteName,
        deviceLabel: row.label || classWords(row.equipmentClass, names),
        careTask: row.careTask,
        taskName: taskName(row.careTask, names),
        failureMode: mode.slug,
        life: { shape, scale: scaleDays },
        lifeSpread,
        visitEveryDays: visitEveryDays(row.tankId),
        isAnnounced,
        ageDays,
        okAgeDays: ageDays,
        renewAtDays: ageLimitOf(row.careTask),
        met: null,
        isOpen: false,
        isUnseen: true,
        dueDay: null,
        secondTripMinor: 0,
      }),
    )
  })
}

/** A due item of an earlier day does not say how well its life is known: then as well as the trade's figures are. */
function knownBy(equipmentClass: string, failureMode: string, spread: LifeReason['model']['spread']) {
  return {
    isAnnounced: findMode(failureMode)?.announcesItself ?? false,
    lifeSpread: { group: `${equipmentClass} ${failureMode}`, ...(spread ?? startingSpread(failureMode)) },
  }
}

function agesOf(row: Row, reason: LifeReason, todayDay: number) {
  const ageDays = ageOf(row, reason, todayDay)
  // A measured path that crosses its threshold brings the work forward, whatever the interval.
  const wornAt =
    reason.rule === 'wears' && row.dueOn ? Math.max(1, ageDays + dayOf(row.dueOn) - todayDay) : Number.POSITIVE_INFINITY
  const renewAtDays = Math.min(row.intervalDays ?? Number.POSITIVE_INFINITY, ageLimitOf(row.careTask), wornAt)
  const isAnnounced = findMode(row.failureMode)?.announcesItself ?? false
  const met = reason.rule === 'age-unknown' || !row.originOn ? metOf(row, isAnnounced, todayDay) : null
  if (isAnnounced) return { renewAtDays, ageDays, okAgeDays: ageDays, met }
  const sinceOk = row.lastOkOn ? todayDay - dayOf(row.lastOkOn) : ageDays
  return { renewAtDays, ageDays, okAgeDays: Math.max(0, ageDays - Math.max(0, sinceOk)), met }
}

/** What is known of a device whose age nobody knows: null where it was never seen fine, or somebody said when it was put in. */
function metOf(row: Row, isAnnounced: boolean, todayDay: number): DuePart['met'] {
  const { originOn, lastOkOn, installedOn, firstSeenOn } = row
  if (originOn || installedOn || !firstSeenOn || !lastOkOn) return null
  const sinceDays = Math.max(0, todayDay - dayOf(firstSeenOn))
  const fineDays = isAnnounced ? sinceDays : Math.min(sinceDays, Math.max(0, dayOf(lastOkOn) - dayOf(firstSeenOn)))
  return { sinceDays, fineDays }
}

/** The age since the last renewal; where it is not known the one that the due date takes it to have, else half of a usual life at first sight. */
function ageOf(row: Row, reason: LifeReason, todayDay: number): number {
  if (row.originOn) return Math.max(0, todayDay - dayOf(row.originOn))
  if (row.dueOn && row.intervalDays && reason.rule === 'age-unknown')
    return Math.max(0, row.intervalDays - (dayOf(row.dueOn) - todayDay))
  const seenOn = row.installedOn ?? row.firstSeenOn
  const since = seenOn ? Math.max(0, todayDay - dayOf(seenOn)) : 0
  return since + (row.installedOn ? 0 : reason.medianDays / 2)
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
  const { life, quantity, renewAtDays: renewAt, isAnnounced: isMetAtOnce, lifeSpread } = due
  const notBefore = Math.max(0, visitInDays)
  const visitEvery = due.visitEveryDays
  if (due.isOpen) {
    const scale = 'draws' in life ? Math.max(...life.draws.map((draw) => draw.scale)) : life.scale
    return { life, quantity, renewAt, notBefore, visitEvery, age: scale * SURELY_OVER, okAge: 0 }
  }
  const known = { life, quantity, renewAt, notBefore, visitEvery, lifeSpread, isMetAtOnce }
  if (!due.met) return Object.assign(known, { age: due.ageDays, okAge: due.okAgeDays })
  const { sinceDays: age, fineDays: okAge } = due.met
  const plannedIn = Number.isFinite(renewAt) ? Math.max(0, renewAt - due.ageDays) : Number.POSITIVE_INFINITY
  return { ...known, isMetByChance: true, age, okAge, plannedIn }
}

/** Chance that the need has come within so many days, as the forecast of all devices draws it. */
export function chanceBy(due: DuePart, inDays: number): number {
  return due.isOpen ? 1 : needChance(sourceOf(due, 0), Math.max(0, inDays))
}
