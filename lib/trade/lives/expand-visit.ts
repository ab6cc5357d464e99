/** Rule 8: one visit, one task, several modes. Turns what a visit recorded about one device into each mode's own events. */
import type { Depth } from '@/lib/trade/catalogue/types'
import type { AsFound, CureConfidence, DayNumber, LaneEvent, RenewalReason } from './types'

export type VisitFinding = {
  mode: string
  asFound: AsFound
  depth: Depth
  source?: 'imported' | 'visit'
  cureConfidence?: CureConfidence
}
export type VisitReport = { mode: string; reportedDay?: DayNumber; sure: boolean }
export type VisitTask = {
  task: string
  /** Mode slugs that the task renews. */
  renews: readonly string[]
  reason: RenewalReason
  /** For reason `condition` or `found`: the modes it was done for. */
  forModes?: readonly string[]
  partial?: boolean
  cureConfidence?: CureConfidence
}
export type VisitSwap = { becauseOfMode?: string; newDevice: { byUs: boolean; confirmed: boolean } | null }

export type VisitRecord = {
  day: DayNumber
  /** All modes of the device's class; others named in findings and tasks are added. */
  modes: readonly string[]
  reports?: readonly VisitReport[]
  findings: readonly VisitFinding[]
  tasks: readonly VisitTask[]
  /** The device was exchanged, or taken away for good (`newDevice: null`). */
  swap?: VisitSwap
}

/**
 * Events of each mode's lane from one visit, in the order in which the rules must read them: report, the mode's own look,
 * removal and installation, renewals. A mode that a task renews but nobody looked at gets a look "not looked", so that its
 * life ends at its last ok. Renewed because of another mode's need counts as "while it was out".
 */
export function expandVisit(visit: VisitRecord): Map<string, LaneEvent[]> {
  const slugs = new Set([
    ...visit.modes,
    ...visit.findings.map((finding) => finding.mode),
    ...visit.tasks.flatMap((task) => task.renews),
  ])
  const lanes = new Map<string, LaneEvent[]>()
  for (const mode of slugs) {
    const events = eventsOfMode(visit, mode)
    if (events.length > 0) lanes.set(mode, events)
  }
  return lanes
}

function eventsOfMode(visit: VisitRecord, mode: string): LaneEvent[] {
  const { day } = visit
  const events: LaneEvent[] = []
  for (const report of visit.reports ?? [])
    if (report.mode === mode)
      events.push({ kind: 'report', day, sure: report.sure, ...given('reportedDay', report.reportedDay) })
  const findings = visit.findings.filter((finding) => finding.mode === mode)
  for (const { asFound, depth, source, cureConfidence } of findings)
    events.push({
      kind: 'look',
      day,
      asFound,
      depth,
      ...given('source', source),
      ...given('cureConfidence', cureConfidence),
    })
  const tasks = visit.tasks.filter((task) => task.renews.includes(mode))
  if (findings.length === 0 && tasks.length > 0)
    events.push({ kind: 'look', day, asFound: 'not_looked', depth: 'running' })
  if (visit.swap) {
    events.push({ kind: 'removed', day, becauseOfMode: visit.swap.becauseOfMode === mode })
    if (visit.swap.newDevice) events.push({ kind: 'installed', day, ...visit.swap.newDevice })
  }
  for (const task of tasks)
    events.push({
      kind: 'renewal',
      day,
      reason: reasonForMode(task, mode, findings),
      ...given('partial', task.partial),
      ...given('cureConfidence', task.cureConfidence),
    })
  return events
}

/** What the renewal was to this one mode. */
function reasonForMode(task: VisitTask, mode: string, findings: readonly VisitFinding[]): RenewalReason {
  if (findings.some(({ asFound }) => asFound === 'needs_it' || asFound === 'failed')) return 'found'
  if (task.reason === 'schedule' || task.reason === 'while_out') return task.reason
  if (task.forModes) return task.forModes.includes(mode) ? task.reason : 'while_out'
  // Nobody said which mode was getting there: it can only be one that somebody looked at, or the task's only one.
  const lookedAt = findings.some(({ asFound }) => asFound === 'ok')
  if (task.reason === 'condition' && (lookedAt || task.renews.length === 1)) return 'condition'
  return 'while_out'
}

function given<Key extends string, Value>(key: Key, value: Value | undefined): { [K in Key]?: Value } {
  // The object has exactly the key that was named; TypeScript widens a computed key to string.
  return value === undefined ? {} : ({ [key]: value } as { [K in Key]?: Value })
}
