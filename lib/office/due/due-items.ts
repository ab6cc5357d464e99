import { type Due, type DueCosts, defaultCosts, dueOf, findMode, findTask, tasksRenewing } from '@/lib/trade'
import type { LaneSummary } from './derive'
import type { ModelInUse } from './life-models'

/** What the business says a renewal, a need, a call-out and a hidden day cost; '*' stands for all. Minor units. */
export type CostRow = {
  equipmentClass: string
  failureMode: string
  plannedMinor: number
  foundMinor: number
  callOutMinor: number
  hiddenPerDayMinor: number
  shareReported: number
}

/** A due item before it is stored. Days since 1970-01-01. */
export type DueDraft = {
  equipmentId: string
  tankId: string
  equipmentClass: string
  careTask: string
  failureMode: string
  due: Due
  costs: DueCosts
  model: ModelInUse
  visitEveryDays: number
}

/** Where no agreement says how often we come. Common practice, no source. */
export const USUAL_VISIT_EVERY_DAYS = 28

const OWN_TASK_MINUTES = 15

/** The task that sees to a mode: the catalogue's shortest one, or one named after the mode. */
export function taskFor(failureMode: string): { slug: string; name: string; minutes: number } {
  const task = tasksRenewing(failureMode)[0]
  if (task) return task
  const words = findMode(failureMode)?.name ?? failureMode.replace(/^own:/, '')
  return { slug: `see-to:${failureMode}`, name: `See to: ${words}`, minutes: OWN_TASK_MINUTES }
}

/** Name of a task by its slug, the business's own ones included. */
export function taskName(slug: string): string {
  return findTask(slug)?.name ?? taskFor(slug.replace(/^see-to:/, '')).name
}

/**
 * What is due on devices: one item per device and task, for the mode of that task which comes due first. A device that
 * was taken out has none.
 */
export function dueDrafts(
  lanes: readonly LaneSummary[],
  modelOf: (lane: LaneSummary) => ModelInUse,
  costRows: readonly CostRow[],
  visitEveryDays: number,
  formatMoney: (minor: number) => string,
): DueDraft[] {
  const best = new Map<string, DueDraft>()
  for (const lane of lanes) {
    if (lane.events.some((event) => event.kind === 'removed')) continue
    const task = taskFor(lane.failureMode)
    const model = modelOf(lane)
    const rule = findMode(lane.failureMode)
    const costs = costsFor(lane, costRows, task.minutes)
    const due = dueOf({
      model: { shape: model.shape, scaleDays: model.scaleDays },
      lane: lane.read,
      mode: {
        announcesItself: lane.mode.announcesItself,
        ...(rule?.ageLimitWeeks ? { ageLimitWeeks: rule.ageLimitWeeks } : {}),
      },
      taskName: task.name,
      visitEveryDays,
      costs,
      formatMoney,
      ...installedDay(lane),
    })
    const { equipmentId, tankId, equipmentClass, failureMode } = lane
    const draft = {
      equipmentId,
      tankId,
      equipmentClass,
      careTask: task.slug,
      failureMode,
      due,
      costs,
      model,
      visitEveryDays,
    }
    const key = `${equipmentId} ${task.slug}`
    const other = best.get(key)
    if (!other || isSooner(draft, other)) best.set(key, draft)
  }
  return [...best.values()]
}

function installedDay(lane: LaneSummary): { saidInstalledDay?: number } {
  const installed = lane.events.find((event) => event.kind === 'installed')
  return installed ? { saidInstalledDay: installed.day } : {}
}

/** A need that is open is a fact and goes before every forecast; then the earlier day. */
function isSooner(one: DueDraft, other: DueDraft): boolean {
  const isOpen = (draft: DueDraft) => draft.due.rule === 'need-open'
  if (isOpen(one) !== isOpen(other)) return isOpen(one)
  const day = (draft: DueDraft) => draft.due.dueDay ?? draft.due.lookByDay ?? Number.POSITIVE_INFINITY
  return day(one) < day(other) || (day(one) === day(other) && one.failureMode < other.failureMode)
}

function costsFor(lane: LaneSummary, rows: readonly CostRow[], minutes: number): DueCosts {
  const fits = (row: CostRow) =>
    (row.equipmentClass === '*' || row.equipmentClass === lane.equipmentClass) &&
    (row.failureMode === '*' || row.failureMode === lane.failureMode)
  const closeness = (row: CostRow) => (row.failureMode === '*' ? 0 : 2) + (row.equipmentClass === '*' ? 0 : 1)
  const row = rows.filter(fits).sort((a, b) => closeness(b) - closeness(a))[0]
  if (!row) return defaultCosts({ minutes, announcesItself: lane.mode.announcesItself })
  return {
    planned: row.plannedMinor,
    found: row.foundMinor,
    callOut: row.callOutMinor,
    hiddenCostPerDay: row.hiddenPerDayMinor,
    shareReported: row.shareReported,
  }
}
