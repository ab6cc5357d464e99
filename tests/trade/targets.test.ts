// Targets: common practice or from memory, no source; editable by the business.
import { describe, expect, test } from 'vitest'
import { changeLimit, judgeReading, profileOf, type Quantity, TANK_KINDS, toStored, waterProfiles } from '@/lib/trade'

describe('water profiles', () => {
  test('there is one for every kind of tank', () => {
    expect(waterProfiles.map((profile) => profile.kind)).toEqual([...TANK_KINDS])
  })
  test('limits are in order: alarm, low, high, alarm', () => {
    for (const { kind, targets } of waterProfiles)
      for (const [quantity, { alarmLow, low, high, alarmHigh }] of Object.entries(targets)) {
        const set = [alarmLow, low, high, alarmHigh].filter((limit) => limit !== undefined)
        expect(
          [...set].sort((a, b) => a - b),
          `${kind} ${quantity}`,
        ).toEqual(set)
      }
  })
})

describe('judging a reading', () => {
  const reef = profileOf('reef')
  test.each([
    ['alkalinity', 3, 'ok'],
    ['alkalinity', 2.5, 'ok'],
    ['alkalinity', 2.3, 'low'],
    ['alkalinity', 4, 'high'],
    ['nitrate', 0, 'low'],
    ['phosphate', 0, 'low'],
    ['temperature', 25, 'ok'],
    ['temperature', 29, 'alarm'],
    ['unionisedAmmonia', 0.02, 'alarm'],
    ['unionisedAmmonia', 0, 'ok'],
    ['carbonDioxide', 20, 'unknown'],
  ] satisfies [Quantity, number, string][])('reef: %s %d is %s', (quantity, value, state) => {
    expect(judgeReading(reef, quantity, value).state).toBe(state)
  })
  test('a specific gravity of ordinary sea water is no alarm, and its words show the third decimal', () => {
    expect(judgeReading(reef, 'salinity', toStored('salinity', 1.026, 'SG'), 'SG')).toMatchObject({
      state: 'ok',
      words: 'Salinity 1.026 SG is in range (1.026 to 1.027 SG).',
    })
    expect(judgeReading(reef, 'salinity', toStored('salinity', 1.025, 'SG'), 'SG').state).toBe('low')
  })
  test('the words speak in the unit that the person wrote', () => {
    const stored = toStored('alkalinity', 6, 'dKH')
    expect(judgeReading(reef, 'alkalinity', stored, 'dKH').words).toBe(
      'Alkalinity (carbonate hardness) 6 dKH is low (7.01 to 10.1 dKH).',
    )
  })
  test('little carbonate in fresh water names the danger', () => {
    expect(judgeReading(profileOf('freshwater-community'), 'alkalinity', 0.4)).toMatchObject({
      state: 'low',
      words: expect.stringContaining('pH can crash'),
    })
  })
  test('the client reads no figures', () => {
    for (const value of [20, 24, 27, 35]) expect(judgeReading(reef, 'temperature', value).clientWords).not.toMatch(/\d/)
  })
  test('the client is told what was seen, and nothing that nobody has planned', () => {
    expect(judgeReading(reef, 'calcium', 500).clientWords).toBe(
      'Calcium was a little high; we have seen it and will tell you what we do about it.',
    )
  })
  test('a reading that is no number is refused', () => {
    expect(() => judgeReading(reef, 'pH', Number.NaN)).toThrow(RangeError)
  })
})

describe('how fast water may change', () => {
  test('salinity up at most 1 a day for all, down faster only without a reef', () => {
    for (const kind of TANK_KINDS) expect(changeLimit(kind, 'salinity')?.upPerDay).toBe(1)
    expect(changeLimit('reef', 'salinity')?.downPerDay).toBe(1)
    expect(changeLimit('fish-only-marine', 'salinity')?.downPerDay).toBe(2)
  })
  test('alkalinity 0.35 meq/L a day', () => expect(changeLimit('reef', 'alkalinity')?.upPerDay).toBe(0.35))
  test('no limit is invented', () => expect(changeLimit('reef', 'nitrate')).toBeNull())
})
