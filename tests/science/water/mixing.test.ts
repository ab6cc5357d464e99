import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { topOffDrift, waterChange, waterChangeNeeded } from '@/lib/science'
import { evenly } from '../evenly'

// Held against bookkeeping in small steps: no outside source is needed for where water and salt go.

describe('water changes', () => {
  test('one after the other, by bucket', () => {
    fc.assert(
      fc.property(
        evenly(1, 2000),
        evenly(0, 1),
        fc.integer({ min: 1, max: 30 }),
        evenly(0, 80),
        evenly(0, 80),
        (volume, share, times, before, incoming) => {
          let mass = volume * before
          for (let time = 0; time < times; time += 1) mass = mass * (1 - share) + volume * share * incoming
          expect(waterChange({ volume, changed: volume * share, times, before, incoming })).toBeCloseTo(
            mass / volume,
            6,
          )
        },
      ),
    )
  })
  test('an even flow is very many very small changes', () => {
    const flow = waterChange({ volume: 300, changed: 200, continuous: true, before: 40, incoming: 5 })
    expect(waterChange({ volume: 300, changed: 200 / 1e6, times: 1e6, before: 40, incoming: 5 })).toBeCloseTo(flow, 4)
  })
  test('how much to change brings it to the target, whatever the manner', () => {
    fc.assert(
      fc.property(
        evenly(1, 2000),
        evenly(0, 80),
        evenly(0, 80),
        evenly(0.01, 0.99),
        fc.integer({ min: 1, max: 12 }),
        (volume, before, incoming, part, times) => {
          fc.pre(Math.abs(before - incoming) > 1e-3)
          const target = before + part * (incoming - before)
          const known = { volume, before, incoming, target }
          const whole = waterChangeNeeded({ ...known, times })
          expect(waterChange({ ...known, changed: whole.changed, times })).toBeCloseTo(target, 6)
          expect(whole.total).toBeCloseTo(whole.changed * times, 9)
          const flow = waterChangeNeeded({ ...known, continuous: true })
          expect(waterChange({ ...known, changed: flow.changed, continuous: true })).toBeCloseTo(target, 6)
          // The more often, the more water for the same end; an even flow takes the most.
          expect(waterChangeNeeded({ ...known, times: times + 1 }).total).toBeGreaterThan(whole.total)
          expect(flow.total).toBeGreaterThan(whole.total)
        },
      ),
    )
  })
  test('how often: the last change reaches the target and the one before does not', () => {
    fc.assert(
      fc.property(evenly(0.02, 0.98), evenly(0.02, 0.95), (part, share) => {
        const known = { volume: 100, before: 50, incoming: 2, changed: 100 * share }
        const target = 50 - part * 48
        const { times } = waterChangeNeeded({ ...known, target })
        expect(waterChange({ ...known, times })).toBeLessThanOrEqual(target + 1e-6)
        if (times > 1) expect(waterChange({ ...known, times: times - 1 })).toBeGreaterThan(target - 1e-6)
      }),
    )
  })
  test('exactly two halvings are two changes, not three', () => {
    expect(waterChangeNeeded({ volume: 100, before: 40, incoming: 0, target: 10, changed: 50 }).times).toBe(2)
    expect(waterChangeNeeded({ volume: 100, before: 40, incoming: 0, target: 40 })).toEqual({
      changed: 0,
      times: 0,
      total: 0,
    })
  })
  test('what cannot be reached is refused in words, not answered with a number', () => {
    const known = { volume: 100, before: 40, incoming: 10 }
    expect(() => waterChangeNeeded({ ...known, target: 5 })).toThrow(/must lie between the two/)
    expect(() => waterChangeNeeded({ ...known, target: 50 })).toThrow(/must lie between the two/)
    expect(() => waterChangeNeeded({ ...known, target: 10, continuous: true })).toThrow(/out of reach/)
    expect(() => waterChangeNeeded({ ...known, target: 10, changed: 20 })).toThrow(/out of reach/)
    expect(waterChangeNeeded({ ...known, target: 10 }).changed).toBe(100)
    expect(waterChangeNeeded({ ...known, target: 10, changed: 100 }).times).toBe(1)
    expect(() => waterChange({ ...known, changed: 101 })).toThrow(/at most the volume/)
  })
})

describe('drift by evaporation and top-up', () => {
  /** Runge–Kutta over salt and water, each kept in its own book. */
  function byBooks(tank: {
    volume: number
    salinity: number
    evaporated: number
    lost: number
    toppedUp: number
    topUpSalinity: number
    days: number
  }) {
    const steps = 2000
    const step = tank.days / steps
    const volumeAt = (t: number) => tank.volume + (tank.toppedUp - tank.evaporated - tank.lost) * t
    const flow = (t: number, salt: number) => tank.toppedUp * tank.topUpSalinity - (tank.lost * salt) / volumeAt(t)
    let salt = tank.volume * tank.salinity
    for (let index = 0; index < steps; index += 1) {
      const t = index * step
      const a = flow(t, salt)
      const b = flow(t + step / 2, salt + (step / 2) * a)
      const c = flow(t + step / 2, salt + (step / 2) * b)
      const d = flow(t + step, salt + step * c)
      salt += (step / 6) * (a + 2 * b + 2 * c + d)
    }
    return salt / volumeAt(tank.days)
  }
  test('agrees with bookkeeping, whether the level holds, falls or rises', () => {
    fc.assert(
      fc.property(
        fc.record({
          volume: evenly(100, 1000),
          salinity: evenly(0, 40),
          evaporated: evenly(0, 3),
          lost: evenly(0, 3),
          toppedUp: evenly(0, 9),
          topUpSalinity: fc.constantFrom(0, 35),
          days: evenly(0, 15),
        }),
        (tank) => {
          expect(topOffDrift(tank).salinity).toBeCloseTo(byBooks(tank), 6)
          const level = { ...tank, toppedUp: tank.evaporated + tank.lost }
          const { salinity, volume } = topOffDrift({ ...level, toppedUp: undefined })
          expect(salinity).toBeCloseTo(byBooks(level), 6)
          expect(volume).toBeCloseTo(tank.volume, 9)
        },
      ),
    )
  })
  test('fresh top-up of vapour alone changes nothing; a tank that would run dry is refused', () => {
    expect(topOffDrift({ volume: 400, salinity: 35, evaporated: 5, days: 300 })).toEqual({ salinity: 35, volume: 400 })
    expect(() => topOffDrift({ volume: 40, salinity: 35, evaporated: 5, toppedUp: 0, days: 8 })).toThrow(/runs dry/)
  })
})
