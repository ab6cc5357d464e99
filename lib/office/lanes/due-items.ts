import type { Life } from '@/lib/science'
import {
  adviseInterval,
  type Due,
  type DueCosts,
  defaultCosts,
  dueOf,
  findMode,
  findTask,
  type IntervalAdvice,
  type IntervalSource,
  startingIntervalDays,
  tasksRenewing,
} from '@/lib/trade'
import type { LaneSummary } from './derive'
import { habitInDays, type ModelInUse, type PairKnowledge, startingLife } from './life-models'

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

/** What a need costs more at one client, minor units. */
export type ClientCostRow = { travelMinor: number; goodwillMinor: number; animalsPerDayMinor: number }

/** What the owner said of a task on a device for one fault. Infinity: only when needed. */
export type IntervalChoices = {
  acceptedDays?: number
  /** The work is done this often for another fault. */
  atMostDays?: number
  declinedDays?: number
  declinedDay?: number
}

/** What the owner is asked: another interval, with what it saves a year against the one in force, minor units. */
export type Proposal = {
  /** Null: only when it is needed. */
  intervalDays: number | null
  formerDays: number | null
  saving: { mean: number; lower: number; upper: number; chance: number }
}

/** What the business has set for one tank. */
export type TankSettings = {
  costRows: readonly CostRow[]
  clientCost: ClientCostRow | null
  visitEveryDays: number
  choicesOf: (equipmentId: string, careTask: string, failureMode: string) => IntervalChoices
  partsCostOf: (equipmentId: string, careTask: string) => number
  /** What a minute of work costs to start from, minor units. */
  labourPerMinute: number
  wearOf: (equipmentId: string, failureMode: string) => { day: number; words: string } | undefined
  formatMoney: (minor: number) => string
  /** The model's cut-off, days since 1970-01-01: the "today" of proposals. */
  cutoffDay: number
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
  advice: IntervalAdvice
  intervalSource: IntervalSource
  habitDays: number | undefined
  proposal: Proposal | null
  /** Needs that the share reported was learned from. */
  shareOf: { reported: number; needs: number }
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

/** Name of a task by its slug, the business's own ones included; `names` as `ownNames` gives them. */
export function taskName(slug: string, names: ReadonlyMap<string, string> = new Map()): string {
  return names.get(slug) ?? findTask(slug)?.name ?? taskFor(slug.replace(/^see-to:/, '')).name
}

/** A lane with the life in use for it and what its class × mode has taught. */
export type KnownLane = { lane: LaneSummary; model: ModelInUse; knowledge: PairKnowledge | null }

/**
 * What is due on the devices of one tank: one item per device and task, for the mode of that task which comes due first. A device that
 * was taken out has none.
 */
export function dueDrafts(lanes: readonly KnownLane[], settings: TankSettings): DueDraft[] {
  const best = new Map<string, DueDraft>()
  for (const known of lanes) {
    if (known.lane.events.some((event) => event.kind === 'removed')) continue
    const draft = draftOf(known, settings)
    const key = `${draft.equipmentId} ${draft.careTask}`
    const other = best.get(key)
    if (!other) best.set(key, draft)
    else {
      const first = isSooner(draft, other) ? draft : other
      best.set(key, { ...first, due: { ...first.due, lookByDay: earlier(draft.due.lookByDay, other.due.lookByDay) } })
    }
  }
  return [...best.values()]
}

function draftOf({ lane, model, knowledge }: KnownLane, settings: TankSettings): DueDraft {
  const { equipmentId, tankId, equipmentClass, failureMode } = lane
  const { visitEveryDays } = settings
  const task = taskFor(failureMode)
  const rule = findMode(failureMode)
  const shareOf = { reported: knowledge?.reported ?? 0, needs: knowledge?.needs ?? 0 }
  const costs = costsFor(lane, settings, task, shareOf)
  const limitDays = rule?.ageLimitWeeks === undefined ? Number.POSITIVE_INFINITY : rule.ageLimitWeeks * DAYS_PER_WEEK
  const choices = settings.choicesOf(equipmentId, task.slug, failureMode)
  const start = startingLife(failureMode)
  const question = { costs, visitEveryDays, limitDays }
  const startDays = startingIntervalDays({ life: { shape: start.shape, scale: start.scaleDays }, ...question })
  const { atMostDays = Number.POSITIVE_INFINITY } = choices
  const inForceDays = Math.min(choices.acceptedDays ?? startDays, atMostDays)
  const habitDays = habitInDays(knowledge)
  const adviseFor = (life: Life) =>
    adviseInterval({ life, ...question, inForceDays, ...(habitDays === undefined ? {} : { habitDays }) })
  const quick = adviseFor(model.draws ? { draws: model.draws } : { shape: model.shape, scale: model.scaleDays })
  // Before the owner is asked it is weighed more finely.
  const advice = quick.proposes && model.finer ? adviseFor({ draws: model.finer() }) : quick
  const intervalSource: IntervalSource =
    choices.acceptedDays === undefined && atMostDays >= startDays ? 'start' : 'accepted'
  const wear = settings.wearOf(equipmentId, failureMode)
  const due = dueOf({
    model: model.draws ? { draws: model.draws } : { shape: model.shape, scaleDays: model.scaleDays },
    lane: lane.read,
    mode: {
      announcesItself: lane.mode.announcesItself,
      ...(rule?.ageLimitWeeks ? { ageLimitWeeks: rule.ageLimitWeeks } : {}),
    },
    taskName: task.name,
    visitEveryDays,
    costs,
    advice,
    intervalSource,
    formatMoney: settings.formatMoney,
    ...(wear ? { wear } : {}),
    ...installedDay(lane),
    ...(lane.inServiceSinceDay === undefined ? {} : { inServiceSinceDay: lane.inServiceSinceDay }),
  })
  return {
    ...{ equipmentId, tankId, equipmentClass, careTask: task.slug, failureMode, due, costs, model, visitEveryDays },
    ...{ advice, intervalSource, habitDays, shareOf },
    proposal: model.draws ? proposalOf(advice, choices, settings.cutoffDay) : null,
  }
}

const DAYS_PER_WEEK = 7
/** What was declined is not asked again for half a year, unless the answer has moved by a quarter. Common practice, no source. */
const DECLINED_FOR_DAYS = 182
const MOVED_BY = 1.25

function proposalOf(advice: IntervalAdvice, choices: IntervalChoices, cutoffDay: number): Proposal | null {
  if (!advice.proposes) return null
  const { declinedDays, declinedDay } = choices
  if (declinedDays !== undefined && declinedDay !== undefined && cutoffDay - declinedDay < DECLINED_FOR_DAYS) {
    const [low, high] = [Math.min(declinedDays, advice.cheapestDays), Math.max(declinedDays, advice.cheapestDays)]
    if (low === high || high < low * MOVED_BY) return null
  }
  const { mean, lower, upper, chance } = advice.saving
  return {
    intervalDays: Number.isFinite(advice.cheapestDays) ? advice.cheapestDays : null,
    formerDays: Number.isFinite(advice.inForceDays) ? advice.inForceDays : null,
    saving: { mean, lower, upper, chance },
  }
}

function installedDay(lane: LaneSummary): { saidInstalledDay?: number } {
  const installed = lane.exchangedDay ?? lane.events.find((event) => event.kind === 'installed')?.day
  return installed === undefined ? {} : { saidInstalledDay: installed }
}

/**
 * A need that is open is a fact and goes before every forecast; then a date before none, whatever another fault of the same work may be
 * looked at for, so that waiting for one never hides the age limit of another; then the earlier day.
 */
function isSooner(one: DueDraft, other: DueDraft): boolean {
  const isOpen = (draft: DueDraft) => draft.due.rule === 'need-open'
  if (isOpen(one) !== isOpen(other)) return isOpen(one)
  const never = Number.POSITIVE_INFINITY
  const [due, otherDue] = [one.due.dueDay ?? never, other.due.dueDay ?? never]
  if (due !== otherDue) return due < otherDue
  const [look, otherLook] = [one.due.lookByDay ?? never, other.due.lookByDay ?? never]
  return look < otherLook || (look === otherLook && one.failureMode < other.failureMode)
}

function earlier(one: number | null, other: number | null): number | null {
  return one === null || other === null ? (one ?? other) : Math.min(one, other)
}

/** How many needs the stated share weighs against those counted. Common practice, no source. */
const STATED_SHARE_WEIGHS = 10

function costsFor(
  lane: LaneSummary,
  {
    costRows,
    clientCost,
    partsCostOf,
    labourPerMinute,
  }: Pick<TankSettings, 'costRows' | 'clientCost' | 'partsCostOf' | 'labourPerMinute'>,
  task: { slug: string; minutes: number },
  { reported, needs }: { reported: number; needs: number },
): DueCosts {
  const fits = (row: CostRow) =>
    (row.equipmentClass === '*' || row.equipmentClass === lane.equipmentClass) &&
    (row.failureMode === '*' || row.failureMode === lane.failureMode)
  const closeness = (row: CostRow) => (row.failureMode === '*' ? 0 : 2) + (row.equipmentClass === '*' ? 0 : 1)
  const row = costRows.filter(fits).sort((a, b) => closeness(b) - closeness(a))[0]
  const parts = partsCostOf(lane.equipmentId, task.slug)
  // A figure for all equipment says what the work costs; no one part is in it. One for this class or fault counts as it stands.
  const partsBeside = row && closeness(row) === 0 ? parts : 0
  const stated = row
    ? {
        planned: row.plannedMinor + partsBeside,
        found: row.foundMinor + partsBeside,
        callOut: row.callOutMinor + partsBeside,
        hiddenCostPerDay: row.hiddenPerDayMinor,
        shareReported: row.shareReported,
      }
    : defaultCosts({
        minutes: task.minutes,
        announcesItself: lane.mode.announcesItself,
        parts,
        perMinute: labourPerMinute,
      })
  const { travelMinor = 0, goodwillMinor = 0, animalsPerDayMinor = 0 } = clientCost ?? {}
  // Dust on a lamp endangers no animal: what a day may cost them counts where the fault itself is dangerous.
  const animals = findMode(lane.failureMode)?.safetyCritical ? animalsPerDayMinor : 0
  return {
    ...stated,
    callOut: stated.callOut + travelMinor + goodwillMinor,
    hiddenCostPerDay: stated.hiddenCostPerDay + animals,
    shareReported: (STATED_SHARE_WEIGHS * stated.shareReported + reported) / (STATED_SHARE_WEIGHS + needs),
  }
}
