import 'server-only'
import { z } from 'zod'
import type { Transaction } from '@/lib/platform/db/scope'
import { compareOrder, type OrderKey } from './canonical-order'
import type { Switching } from './states'

const order = { deviceId: z.string().catch(''), deviceSeq: z.number().catch(0) }
/** What stands in the `detail` of each kind of event, as `writeEvent` wrote it. */
const DETAILS = {
  switched: z.object({ devices: z.array(z.string()), ...order }),
  note: z.object({ audience: z.enum(['client', 'us']), text: z.string(), replaces: z.array(z.string()), ...order }),
  left: z.object({
    outcome: z.enum(['done', 'cut_short']),
    minutes: z.number(),
    leavingCheckDone: z.array(z.string()),
    reason: z.string(),
    ...order,
  }),
  'no-access': z.object({ minutes: z.number().nullable(), reason: z.string(), ...order }),
  suspected: z.object({ equipmentId: z.string(), mode: z.string(), words: z.string() }),
  work: z.object({ equipmentId: z.string(), task: z.string(), partial: z.boolean() }),
  photo: z.object({ caption: z.string(), forClient: z.boolean(), takenAt: z.string() }),
} as const

type Placed = { at: Date; commandId: string; deviceId: string; deviceSeq: number }
export type VisitEnd = Placed & {
  outcome: 'done' | 'cut_short' | 'no_access'
  minutes: number | null
  leavingCheckDone: string[]
  reason: string
}
export type VisitEvents = {
  switching: Switching[]
  notes: (Placed & { id: string; audience: 'client' | 'us'; text: string; replaces: string[] })[]
  ends: VisitEnd[]
  suspicions: { id: string; equipmentId: string; mode: string; words: string }[]
  work: { id: string; equipmentId: string; task: string; partial: boolean }[]
  photos: { id: string; caption: string; forClient: boolean; takenAt: string }[]
}

/** An event's place in the canonical order. */
export function eventOrder({ at, deviceId, deviceSeq, commandId }: Placed): OrderKey {
  return { at: at.getTime(), deviceId, deviceSeq, id: commandId }
}

/** Everything that happened in a visit, in canonical order. */
export async function readEvents(tx: Transaction, businessId: string, visitId: string): Promise<VisitEvents> {
  return eventsOf(
    await tx.visitEvent.findMany({ where: { businessId, visitId }, orderBy: [{ at: 'asc' }, { id: 'asc' }] }),
  )
}

type EventRow = { kind: string; at: Date; commandId: string | null; detail: unknown }

/** The same from rows by time. Pure. */
export function eventsOf(rows: readonly EventRow[]): VisitEvents {
  const events: VisitEvents = { switching: [], notes: [], ends: [], suspicions: [], work: [], photos: [] }
  const switched: (Placed & Switching)[] = []
  for (const { kind, at, commandId, detail } of rows) {
    if (commandId === null) continue // an imported event says nothing of these
    const place = { at, commandId }
    if (kind === 'switched-off' || kind === 'switched-on')
      switched.push({ ...place, ...DETAILS.switched.parse(detail), on: kind === 'switched-on' })
    else if (kind === 'note') events.notes.push({ ...place, id: commandId, ...DETAILS.note.parse(detail) })
    else if (kind === 'left') events.ends.push({ ...place, ...DETAILS.left.parse(detail) })
    else if (kind === 'no-access')
      events.ends.push({ ...place, ...DETAILS['no-access'].parse(detail), outcome: 'no_access', leavingCheckDone: [] })
    else if (kind === 'suspected') events.suspicions.push({ id: commandId, ...DETAILS.suspected.parse(detail) })
    else if (kind === 'work') events.work.push({ id: commandId, ...DETAILS.work.parse(detail) })
    else if (kind === 'photo') events.photos.push({ id: commandId, ...DETAILS.photo.parse(detail) })
  }
  const inOrder = (a: Placed, b: Placed) => compareOrder(eventOrder(a), eventOrder(b))
  events.switching = switched.sort(inOrder)
  events.notes.sort(inOrder)
  events.ends.sort(inOrder)
  return events
}
