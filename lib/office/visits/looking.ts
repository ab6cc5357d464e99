/** What the trade's rules say about a visit's looks and work: which modes a tap covers, and why a mode starts anew. Pure. */
import { findMode, findTask, modesOf } from '@/lib/trade/catalogue'
import { expandVisit } from '@/lib/trade/lives/expand-visit'
import type { RenewalReason } from '@/lib/trade/lives/types'
import { newDeviceId } from '../frame/row-ids'
import { type Pair, pairKey, type VisitRecord } from './record'

/** A device of the tank, as far as the rules need it. `ownModes`: modes of this business alone that running shows. */
export type Device = { id: string; equipmentClass: string; ownModes?: readonly string[] }

/** Running the device shows whether this mode is fine. A mode of the business's own counts at any depth. */
export function isShownByRunning(mode: string): boolean {
  return findMode(mode)?.shownByRunning ?? true
}

/**
 * The pairs that "all else seen running, nothing wrong" covers now: modes that running shows, of the devices present,
 * without those that somebody looked at, suspected or reported in this visit and without those that are asked one by one
 * (`listed`: due or open).
 */
export function creditsOf(
  devices: readonly Device[],
  record: Pick<VisitRecord, 'findings' | 'suspicions' | 'reports'>,
  listed: readonly Pair[] = [],
): Pair[] {
  const apart = new Set([...record.findings, ...record.suspicions, ...record.reports, ...listed].map(pairKey))
  return devices
    .flatMap(({ id, equipmentClass, ownModes = [] }) =>
      [
        ...modesOf(equipmentClass)
          .filter((mode) => mode.shownByRunning)
          .map((mode) => mode.slug),
        ...ownModes,
      ].map((mode) => ({ equipmentId: id, mode })),
    )
    .filter((pair) => !apart.has(pairKey(pair)))
}

/**
 * Why each mode that a task renews starts anew: `found` where this visit found a need, else what the technician said; a
 * task done for the condition of one mode renews the others while it was out. Empty for an unknown task.
 */
export function renewalsFor(
  task: string,
  reason: RenewalReason,
  findings: readonly { mode: string; asFound: 'ok' | 'needs_it' | 'failed' | 'not_looked' }[],
  forModes?: readonly string[],
): { mode: string; reason: RenewalReason }[] {
  const renews = findTask(task)?.renews ?? []
  const lanes = expandVisit({
    day: 0,
    modes: renews,
    findings: findings.map(({ mode, asFound }) => ({ mode, asFound, depth: 'measured' })),
    tasks: [{ task, renews, reason, ...(forModes === undefined ? {} : { forModes }) }],
  })
  return renews.flatMap((mode) =>
    (lanes.get(mode) ?? []).flatMap((event) => (event.kind === 'renewal' ? [{ mode, reason: event.reason }] : [])),
  )
}

/** A task that exchanges the device renews the modes of the new one; any other, and a part of a task, those of the old. */
export function renewedDevice(work: { id: string; equipmentId: string; task: string; partial: boolean }): {
  equipmentId: string
} {
  return { equipmentId: exchangesDevice(work) ? newDeviceId(work.id) : work.equipmentId }
}

/** Whether this piece of work puts another device in the place of the one it was done on. */
export function exchangesDevice({ task, partial }: { task: string; partial: boolean }): boolean {
  return !partial && (findTask(task)?.replacesDevice ?? false)
}
