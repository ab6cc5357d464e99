import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { drainDown, heaterPower, seawaterDensity } from '@/lib/science'
import { evenly } from '../evenly'

describe('heater', () => {
  const tank = { area: 2.2, heatTransfer: 4, tankTemperature: 25, roomTemperature: 20 }
  test('specific heat at salinity 40 and 40 °C (IPTS-68) is 3980.1 J/(kg·K): Landolt-Börnstein, new series V/3a, pp. 247–250, check value', () => {
    const at = { salinity: 40, temperature: 40 / 1.00024 }
    const litreOfOneKilogram = 1000 / seawaterDensity(at)
    const { warming } = heaterPower({
      ...tank,
      tankTemperature: at.temperature,
      salinity: at.salinity,
      warmUp: { volume: litreOfOneKilogram, degrees: 1, hours: 1 / 3600 },
    })
    expect(warming).toBeCloseTo(3980.1, 1)
  })
  test('specific heat of pure water at 20 °C is 4182 J/(kg·K) (steam tables, from memory)', () => {
    const volume = 1000 / seawaterDensity({ salinity: 0, temperature: 20 })
    const warmUp = { volume, degrees: 1, hours: 1 / 3600 }
    expect(Math.abs(heaterPower({ ...tank, tankTemperature: 20, warmUp }).warming - 4182)).toBeLessThan(2)
  })
  test('a warmer room and more pumps take from it, evaporation adds to it; it is never below 0', () => {
    fc.assert(
      fc.property(evenly(10, 35), evenly(0, 20), evenly(0, 500), (roomTemperature, evaporated, otherHeat) => {
        const at = { ...tank, roomTemperature, evaporated, otherHeat }
        const found = heaterPower(at)
        expect(found.heaters).toBe(Math.max(0, found.holding))
        expect(found.holding).toBeCloseTo(found.throughWalls + found.byEvaporation - otherHeat, 9)
        expect(heaterPower({ ...at, roomTemperature: roomTemperature + 1 }).holding).toBeLessThan(found.holding)
        expect(heaterPower({ ...at, evaporated: evaporated + 1 }).holding).toBeGreaterThan(found.holding)
      }),
    )
  })
})

describe('drain-down', () => {
  const sump = { length: 80, width: 40, level: 25, rim: 38 }
  test('by hand: 120 × 50 × 3 cm are 18 L, with 2 L of pipe and 1.6 L of a reactor; 80 × 40 × 13 cm are 41.6 L of room', () => {
    const found = drainDown({ tanks: [{ length: 120, width: 50, fall: 3 }], pipes: 2, devices: 1.6, sump })
    expect(found.drains).toBeCloseTo(21.6, 9)
    expect(found.room).toBeCloseTo(41.6, 9)
    expect(found.spare).toBeCloseTo(20, 9)
    expect(found.fits).toBe(true)
    expect(found.highestLevel).toBeCloseTo(38 - 21.6 / 3.2, 9)
  })
  test('run at the highest level it just fits; a centimetre above, it overflows by that centimetre', () => {
    fc.assert(
      fc.property(evenly(0, 6), evenly(0, 10), evenly(0, 10), (fall, pipes, devices) => {
        const tanks = [{ length: 100, width: 45, fall }]
        const { highestLevel } = drainDown({ tanks, pipes, devices, sump })
        fc.pre(highestLevel >= 0 && highestLevel <= 37)
        expect(drainDown({ tanks, pipes, devices, sump: { ...sump, level: highestLevel } }).spare).toBeCloseTo(0, 9)
        const over = drainDown({ tanks, pipes, devices, sump: { ...sump, level: highestLevel + 1 } })
        expect(over.fits).toBe(false)
        expect(over.spare).toBeCloseTo(-3.2, 9)
      }),
    )
  })
  test('a level above the rim is refused', () => {
    expect(() => drainDown({ tanks: [], sump: { ...sump, level: 39 } })).toThrow(/at most the rim/)
  })
})
