/** The one order of commands, whatever the order in which they arrive: when made, then device, then its sequence. Pure. */

export type OrderKey = {
  /** Milliseconds since 1970, the device's clock corrected by its offset. */
  at: number
  deviceId: string
  deviceSeq: number
  id: string
}

/** The place of a command in the canonical order. */
export function orderKey(command: {
  madeAt: string
  clockOffsetMs: number
  deviceId: string
  deviceSeq: number
  id: string
}): OrderKey {
  const { deviceId, deviceSeq, id } = command
  return { at: Date.parse(command.madeAt) + command.clockOffsetMs, deviceId, deviceSeq, id }
}

const compareText = (a: string, b: string) => (a < b ? -1 : a > b ? 1 : 0)

/** Negative where `a` comes first. Total: two commands are level only when they are the same one. */
export function compareOrder(a: OrderKey, b: OrderKey): number {
  return a.at - b.at || compareText(a.deviceId, b.deviceId) || a.deviceSeq - b.deviceSeq || compareText(a.id, b.id)
}
