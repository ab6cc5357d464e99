import { say } from '../timing'
import type { Measured } from './measure-screen'
import type { AtOnce } from './people-at-once'
import type { Watched } from './running-program'

/** What every screen must keep to. */
const LIMITS = { medianMs: 300, timesSql: 3, besideSqlMs: 100, kb: 300, statements: 30 }
const AT_ONCE = { p95Ms: 1500, lateP99Ms: 50, lateWorstMs: 200, memoryMib: 700 }

/** A statement that takes this long by itself is named below a screen that misses a limit. */
const TELLING_MS = 30

/** Lines of the table. */
export function sayScreens(measured: readonly Measured[], { head }: { head: boolean }): void {
  if (head)
    say(
      `${'role'.padEnd(11)} ${'screen'.padEnd(32)} ${'ms'.padStart(7)} ${'SQL ms'.padStart(7)} ${'statements'.padStart(10)} ${'kB'.padStart(8)}`,
    )
  for (const one of measured) {
    const figures =
      one.status === 200
        ? `${one.medianMs.toFixed(0).padStart(7)} ${one.sqlMs.toFixed(0).padStart(7)} ${String(one.statements).padStart(10)} ${one.kb.toFixed(0).padStart(8)}`
        : `${one.medianMs.toFixed(0).padStart(7)} answers ${one.status || 'nothing'}`
    say(`${one.screen.role.padEnd(11)} ${one.screen.name.padEnd(32)} ${figures}  ${missesOf(one).join(', ')}`)
    if (missesOf(one).length > 0)
      for (const { ms, text } of one.slowest.filter((statement) => statement.ms > TELLING_MS))
        say(`  ${ms.toFixed(0).padStart(6)} ms  ${text.replace(/\s+/g, ' ').slice(0, 160)}`)
  }
}

function missesOf({ screen, status, medianMs, sqlMs, statements, kb }: Measured): string[] {
  if (status !== 200) return ['NO ANSWER']
  return [
    ...(medianMs > LIMITS.medianMs && !screen.isFile ? ['SLOW'] : []),
    ...(medianMs > LIMITS.timesSql * sqlMs + LIMITS.besideSqlMs ? ['SLOW BESIDE ITS SQL'] : []),
    // A file comes in pieces, each a transaction of its own.
    ...(statements > LIMITS.statements && !screen.isFile ? ['STATEMENTS'] : []),
    ...(kb > LIMITS.kb && !screen.isFile ? ['LARGE'] : []),
  ]
}

/** Which limits are missed, in one line a limit. */
export function missedLimits(measured: readonly Measured[]): string[] {
  const missing = measured.filter((one) => missesOf(one).length > 0)
  if (missing.length === 0) return [`All ${measured.length} screens keep to the limits.`]
  return [
    `${missing.length} of ${measured.length} screens miss a limit (median 300 ms, 3 times its SQL + 100 ms, 300 kB, 30 statements):`,
    ...missing.map((one) => `  ${one.screen.role} ${one.screen.name}: ${missesOf(one).join(', ')}`),
  ]
}

/** The minute of twenty people, and what the web process went through meanwhile. */
export function sayAtOnce(atOnce: AtOnce, { lateP99Ms, lateWorstMs, rssMib, peakMib }: Watched): void {
  const mark = (value: number, most: number) => (value > most ? ' MISSED' : '')
  const ms = (value: number) => `${value.toFixed(0)} ms`
  say(
    `20 people at once for 60 s: ${atOnce.requests} requests, ${atOnce.errors.length} errors${mark(atOnce.errors.length, 0)}, ` +
      `median ${ms(atOnce.p50Ms)}, p95 ${ms(atOnce.p95Ms)}${mark(atOnce.p95Ms, AT_ONCE.p95Ms)}, worst ${ms(atOnce.worstMs)}`,
  )
  for (const error of new Set(atOnce.errors)) say(`  ${error}`)
  say(
    `  event loop late p99 ${ms(lateP99Ms)}${mark(lateP99Ms, AT_ONCE.lateP99Ms)}, worst ${ms(lateWorstMs)}${mark(lateWorstMs, AT_ONCE.lateWorstMs)}; ` +
      `web process ${rssMib.toFixed(0)} MiB, at most ${peakMib.toFixed(0)} MiB${mark(peakMib, AT_ONCE.memoryMib)}`,
  )
}
