/** Short words to write lanes down in tests. */
import type { LaneEvent, ModeRule, RenewalReason } from '@/lib/trade'

export const OPENED_MODE: ModeRule = { lookNeeded: 'opened', announcesItself: false }
export const ANNOUNCING_MODE: ModeRule = { lookNeeded: 'measured', announcesItself: true }

export const ok = (day: number): LaneEvent => ({ kind: 'look', day, asFound: 'ok', depth: 'opened' })
export const shallowOk = (day: number): LaneEvent => ({ kind: 'look', day, asFound: 'ok', depth: 'running' })
export const needsIt = (day: number): LaneEvent => ({ kind: 'look', day, asFound: 'needs_it', depth: 'opened' })
export const needsItUnsure = (day: number): LaneEvent => ({
  kind: 'look',
  day,
  asFound: 'needs_it',
  depth: 'opened',
  cureConfidence: 'not_sure',
})
export const failed = (day: number): LaneEvent => ({ kind: 'look', day, asFound: 'failed', depth: 'running' })
export const notLooked = (day: number): LaneEvent => ({ kind: 'look', day, asFound: 'not_looked', depth: 'running' })
export const renewed = (day: number, reason: RenewalReason = 'schedule'): LaneEvent => ({
  kind: 'renewal',
  day,
  reason,
})
export const reported = (day: number, reportedDay?: number): LaneEvent =>
  reportedDay === undefined ? { kind: 'report', day, sure: false } : { kind: 'report', day, reportedDay, sure: true }
