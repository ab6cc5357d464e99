import { z } from 'zod'
import { type AccessWindow, accessWindowSchema } from './schema'

const stored = z.array(accessWindowSchema)
const DAY_NAMES = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun']

/** Access windows as stored beside a site; what is not one of ours is none. Pure. */
export function readAccessWindows(json: unknown): AccessWindow[] {
  const read = stored.safeParse(json)
  return read.success ? read.data : []
}

/** "Mon, Tue, Fri 08:00–11:30". Pure. */
export function accessWindowWords({ weekdays, from, to }: AccessWindow): string {
  const days = [...weekdays].sort().map((day) => DAY_NAMES[Number(day) - 1])
  return `${days.length === 7 ? 'Every day' : days.join(', ')} ${from}–${to}`
}
