import { createHash } from 'node:crypto'
import { v7 } from 'uuid'

/**
 * A UUIDv7 that follows from its moment and its key: loading the demo twice sends the same commands, and a loading that was
 * cut off goes on where it stopped. Sorts by time, like all other ids.
 */
export function demoId(atMs: number, key: string): string {
  const random = createHash('sha256').update(key).digest().subarray(0, 16)
  return v7({ msecs: Math.max(0, Math.floor(atMs)), random, seq: random.readUInt32BE(0) & 0x7fffffff })
}
