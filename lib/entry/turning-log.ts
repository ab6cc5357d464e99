import { chmodSync, closeSync, fstatSync, openSync, renameSync, writeSync } from 'node:fs'

/** A log that has grown beyond this many bytes is set aside. */
const MOST_BYTES = 5_000_000
/** So many earlier ones are kept: NAME.1 is the latest of them. */
const KEPT = 3

/**
 * A log file of limited size, for its owner only: it turns over while it is written, and of those set aside the oldest goes. A full disk loses
 * lines, never the program. (The packages that do this write later, from a queue; what a child said before it fell must be in the file.)
 */
export class TurningLog {
  private handle: number | undefined
  private bytes = 0

  constructor(
    private readonly file: string,
    private readonly mostBytes = MOST_BYTES,
  ) {
    this.open()
  }

  /** Writes at once. */
  write(chunk: Uint8Array): void {
    try {
      if (this.bytes > 0 && this.bytes + chunk.byteLength > this.mostBytes) this.turn()
      if (this.handle === undefined) this.open()
      if (this.handle !== undefined) this.bytes += writeSync(this.handle, chunk)
    } catch {
      // a full disk
    }
  }

  close(): void {
    if (this.handle !== undefined) closeSync(this.handle)
    this.handle = undefined
  }

  private turn(): void {
    this.close()
    for (let number = KEPT; number >= 1; number -= 1)
      try {
        renameSync(number === 1 ? this.file : `${this.file}.${number - 1}`, `${this.file}.${number}`)
      } catch {
        // there are not so many yet
      }
    this.open()
  }

  private open(): void {
    this.handle = openSync(this.file, 'a', 0o600)
    chmodSync(this.file, 0o600) // also one that an earlier version left open
    this.bytes = fstatSync(this.handle).size
  }
}
