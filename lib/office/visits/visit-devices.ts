import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import {
  findCaution,
  findMode,
  findTask,
  inTradeWords,
  modesOf,
  type TradeDialect,
  tasksOf,
  whileOut,
} from '@/lib/trade'
import { labourMinorPerMinute } from '@/lib/trade/labour'
import { type AsOf, type DueWork, type SoonRow, soonOf, workDueIn } from '../due/queries'
import { asDay } from '../frame/days'
import { classWords, modeWords } from '../lanes/lane-views'
import { creditsOf } from './looking'
import { type Pair, pairKey, type RecordedFinding, type VisitRecord } from './record'

export type ModeView = {
  slug: string
  name: string
  sign: string
  lookNeeded: 'running' | 'opened' | 'measured'
  /** Why it is asked by itself; null where it is not. */
  listed: string | null
  finding: RecordedFinding | null
}
export type TaskView = {
  slug: string
  name: string
  minutes: number
  opens: boolean
  exchanges: boolean
  cautions: string[]
  renews: { slug: string; name: string; asked: boolean }[]
  /** Why now: due, found at this visit, or offered while the device is out; null where it is none of these. */
  because: { kind: 'due' | 'found' | 'while_out'; words: string } | null
  done: boolean
}
export type DeviceView = { id: string; label: string; className: string; modes: ModeView[]; tasks: TaskView[] }

/** A device in service as it stands in the register. */
type DeviceRow = { id: string; equipmentClass: string; label: string }

/** How long ago a general clean must lie for it to be offered while a device is open. Common practice, no source. */
const OFFER_AFTER_DAYS = 182
/** Work that falls due before the visit after next is asked about now. */
const HORIZON_DAYS = 14
const DAY_MS = 86_400_000

/** The devices of a visit's tank: what is asked about each, what can be done to it, and what the one tap covers. */
export async function visitDevices(
  tx: Transaction,
  visit: { businessId: string; tankId: string; dialect: TradeDialect; rows: readonly DeviceRow[]; asOf: AsOf },
  record: VisitRecord,
  now: Date,
): Promise<{ devices: DeviceView[]; tap: { pairs: Pair[]; words: string[] } }> {
  const { businessId, tankId, dialect, rows, asOf } = visit
  const ahead = await workDueIn(tx, businessId, { tankId }, asOf)
  const perMinute = labourMinorPerMinute(asOf.currency)
  const due = soonOf(ahead, HORIZON_DAYS)
  const lanes = await tx.lane.findMany({
    where: { businessId, tankId },
    select: { equipmentId: true, failureMode: true, originOn: true },
  })
  const { names, ownModes: own } = asOf
  const suspected = new Map([...record.suspicions, ...record.reports].map((doubt) => [pairKey(doubt), doubt.words]))
  const dueByPair = new Map(
    due.map((item) => [pairKey({ equipmentId: item.equipmentId, mode: item.failureMode }), item]),
  )
  const finding = new Map(record.findings.map((found) => [pairKey(found), found]))
  const origin = new Map(
    lanes.map((lane) => [pairKey({ equipmentId: lane.equipmentId, mode: lane.failureMode }), asDay(lane.originOn)]),
  )
  const ownModesOf = (equipmentClass: string) =>
    own.filter((mode) => mode.equipmentClass === equipmentClass).map(({ slug }) => slug)

  const devices = rows.map((row): DeviceView => {
    const className = classWords(row.equipmentClass, names)
    const at = (mode: string) => pairKey({ equipmentId: row.id, mode })
    const slugs = [...modesOf(row.equipmentClass).map(({ slug }) => slug), ...ownModesOf(row.equipmentClass)]
    const modes = slugs.map((slug): ModeView => {
      const item = dueByPair.get(at(slug))
      const doubt = suspected.get(at(slug))
      const known = findMode(slug)
      return {
        ...{
          slug,
          name: modeWords(slug, names),
          sign: inTradeWords(known?.sign ?? '', dialect),
          lookNeeded: known?.lookNeeded ?? 'running',
        },
        listed:
          doubt === undefined ? (item ? dueWords(item) : null) : doubt === '' ? 'suspected' : `suspected: ${doubt}`,
        finding: finding.get(at(slug)) ?? null,
      }
    })
    const opens = (slug: string) => findTask(slug)?.opens ?? false
    const isOpen =
      record.work.some((work) => work.equipmentId === row.id && opens(work.task)) ||
      due.some((item) => item.equipmentId === row.id && !item.onlyToLook && opens(item.careTask))
    const tasks = tasksOf(row.equipmentClass).map((task): TaskView => {
      const found = task.renews.filter((slug) => ['needs_it', 'failed'].includes(finding.get(at(slug))?.asFound ?? ''))
      const item = due.find((one) => one.equipmentId === row.id && one.careTask === task.slug)
      const later = ahead.rows.find((one) => one.equipmentId === row.id && one.careTask === task.slug)
      const offer = isOpen && task.opens && later ? offerOf(later, ahead.today, perMinute) : null
      const since = task.renews.map((slug) => origin.get(at(slug)) ?? null)
      const isLongAgo = since.some((day) => day === null || now.getTime() - Date.parse(day) > OFFER_AFTER_DAYS * DAY_MS)
      return {
        ...{
          slug: task.slug,
          name: names.get(task.slug) ?? task.name,
          minutes: task.minutes,
          opens: task.opens,
          exchanges: task.replacesDevice,
        },
        cautions: task.cautions.map((slug) => inTradeWords(findCaution(slug).text, dialect)),
        renews: task.renews.map((slug) => ({
          slug,
          name: modeWords(slug, names),
          asked: finding.get(at(slug))?.fromTap === false,
        })),
        because:
          found.length > 0
            ? { kind: 'found', words: `found: ${found.map((slug) => modeWords(slug, names)).join(', ')}` }
            : item && !(item.onlyToLook && offer)
              ? { kind: 'due', words: dueWords(item) }
              : offer
                ? { kind: 'while_out', words: offer }
                : isOpen && task.opens && isLongAgo && task.renews.length > 1
                  ? { kind: 'while_out', words: 'while it is out: about half a year or longer since the last time' }
                  : null,
        done: record.work.some((work) => work.equipmentId === row.id && work.task === task.slug && !work.partial),
      }
    })
    return { id: row.id, label: row.label || className, className, modes, tasks: byUrgency(tasks) }
  })
  const listed = devices.flatMap((device) =>
    device.modes.filter((mode) => mode.listed !== null).map((mode) => ({ equipmentId: device.id, mode: mode.slug })),
  )
  const pairs = creditsOf(
    rows.map((row) => ({ ...row, ownModes: ownModesOf(row.equipmentClass) })),
    record,
    listed,
  )
  const words = devices.flatMap((device) => {
    const covered = pairs.filter((pair) => pair.equipmentId === device.id).map((pair) => modeWords(pair.mode, names))
    return covered.length === 0 ? [] : [`${device.label}: ${covered.join(', ')}`]
  })
  return { devices, tap: { pairs, words } }
}

/** Why work that is due later may be done now that the device is open anyway. */
function offerOf(item: DueWork, today: string, perMinute: number): string | null {
  const dueInDays = item.dueOn === null ? null : (Date.parse(item.dueOn) - Date.parse(today)) / DAY_MS
  const { costs, visitEveryDays } = item.reason
  const offer = whileOut(
    { dueInDays, intervalDays: item.intervalDays, plannedMinor: costs.planned, perMinute },
    visitEveryDays,
  )
  if (!offer) return null
  return `while it is out: due anyway ${offer.visits === 1 ? 'at the next visit' : `within ${offer.visits} visits`}`
}

function dueWords(item: SoonRow): string {
  if (item.reason.rule === 'need-open') return 'found before and still open'
  return item.onlyToLook
    ? 'to be looked at'
    : item.daysLate
      ? `due, ${item.daysLate === 1 ? 'a day' : `${item.daysLate} days`} late`
      : 'due'
}

/** Found faults first, the quickest remedy first among them; what is not called for stays in the catalogue's order. */
const URGENCY = { found: 0, due: 1, while_out: 2 } as const
function byUrgency(tasks: TaskView[]): TaskView[] {
  const rank = (task: TaskView) => (task.because && !task.done ? URGENCY[task.because.kind] : 3)
  return tasks.toSorted((a, b) => rank(a) - rank(b) || (rank(a) < 3 ? a.minutes - b.minutes : 0))
}
