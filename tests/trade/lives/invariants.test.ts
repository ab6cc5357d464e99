// Properties that must hold for any history whatever, however odd: what a fit would choke on must not come out.
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type LaneEvent, livesOfLane } from '@/lib/trade'

const day = fc.integer({ min: 0, max: 200 })
const event: fc.Arbitrary<LaneEvent> = fc.oneof(
  fc.record({
    kind: fc.constant('look' as const),
    day,
    asFound: fc.constantFrom('ok' as const, 'needs_it' as const, 'failed' as const, 'not_looked' as const),
    depth: fc.constantFrom('running' as const, 'opened' as const, 'measured' as const),
    cureConfidence: fc.constantFrom('sure' as const, 'likely' as const, 'not_sure' as const),
  }),
  fc.record({ kind: fc.constant('report' as const), day, reportedDay: day, sure: fc.boolean() }),
  fc.record({
    kind: fc.constant('renewal' as const),
    day,
    reason: fc.constantFrom('schedule' as const, 'while_out' as const, 'condition' as const, 'found' as const),
    partial: fc.boolean(),
  }),
  fc.record({ kind: fc.constant('installed' as const), day, byUs: fc.boolean(), confirmed: fc.boolean() }),
  fc.record({ kind: fc.constant('removed' as const), day, becauseOfMode: fc.boolean() }),
  fc.record({ kind: fc.constant('paused' as const), day }),
)
const lane = fc.record({
  mode: fc.record({
    lookNeeded: fc.constantFrom('running' as const, 'opened' as const, 'measured' as const),
    announcesItself: fc.boolean(),
    renewedOnlyByReplacing: fc.boolean(),
  }),
  events: fc.array(event, { maxLength: 40 }).map((events) => [...events].sort((a, b) => a.day - b.day)),
})

describe('lives of any history', () => {
  test('are observations that a fit accepts, do not overlap and never reach past the cut-off', () => {
    fc.assert(
      fc.property(lane, day, (anyLane, cutoffDay) => {
        const { lives } = livesOfLane(anyLane, { cutoffDay })
        let lastEnd = Number.NEGATIVE_INFINITY
        for (const { observation, startDay, endDay, event: ended, from, lookAges } of lives) {
          const { lower, upper, truncatedAt = 0 } = observation
          expect(lower).toBeGreaterThanOrEqual(0)
          expect(upper).toBeGreaterThanOrEqual(lower)
          expect(upper).toBeGreaterThan(truncatedAt)
          expect(lower === 0 && upper === Infinity).toBe(false)
          expect(upper < Infinity).toBe(ended)
          expect(startDay).toBeGreaterThanOrEqual(lastEnd)
          expect(endDay).toBeLessThanOrEqual(cutoffDay)
          expect([...lookAges].sort((a, b) => a - b)).toEqual(lookAges)
          expect(from.every((index) => anyLane.events[index] !== undefined)).toBe(true)
          lastEnd = endDay
        }
      }),
      { numRuns: 2000, seed: 7 },
    )
  })
})
