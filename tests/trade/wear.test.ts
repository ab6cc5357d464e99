import { describe, expect, test } from 'vitest'
import { seededRandom } from '@/lib/science'
import {
  findMode,
  modesOf,
  rejectionOf,
  thresholdOf,
  WEAR_RULES,
  wearBand,
  wearOf,
  wearRuleOf,
  wearRulesOf,
} from '@/lib/trade'

const formatDay = (day: number) => `day ${day}`
const ruleOf = (mode: string) => {
  const rule = wearRuleOf(mode)
  if (!rule) throw new Error(`no rule for ${mode}`)
  return rule
}
const tube = ruleOf('dosing-pump/tube-tired')
const lamp = ruleOf('uv-steriliser/lamp-past-hours')
const membrane = ruleOf('reverse-osmosis/membrane-tired')
/** Falls by a hundredth of a millilitre a day from 50, with a given misreading; invented. */
const falling = (days: number[], off = [0]) =>
  days.map((day, place) => ({ day, value: 50 - 0.01 * day + (off[place % off.length] ?? 0) }))

test('every rule names a mode of the catalogue', () => {
  for (const { mode } of WEAR_RULES) expect(findMode(mode)?.slug).toBe(mode)
  expect(wearRulesOf('dosing-pump').map(({ mode }) => mode)).toEqual(['dosing-pump/tube-tired'])
  expect(wearRulesOf('led-light')).toEqual([])
  expect(modesOf('dosing-pump').length).toBeGreaterThan(1)
})

describe('a path', () => {
  test('crosses where its straight line meets the threshold: 10 % under 50 at a hundredth a day is day 500', () => {
    const wear = wearOf(falling([0, 60, 120, 180], [0, 0.02, -0.02, 0]), tube, { sinceDay: 0, formatDay })
    expect(wear.state).toBe('dated')
    expect(wear.threshold).toBeCloseTo(45, 6)
    expect(Math.abs((wear.thresholdDay ?? 0) - 500)).toBeLessThan(15)
    expect(wear.lowerDay).toBeLessThan(500)
    expect(wear.upperDay).toBeGreaterThan(500)
    expect(wear.words).toContain('10 % below its own first reading')
  })
  test('of one or two readings is not dated, and says how many are missing', () => {
    expect(wearOf([], tube, { sinceDay: 0, formatDay }).words).toContain('has not been measured')
    expect(wearOf(falling([0]), tube, { sinceDay: 0, formatDay })).toMatchObject({
      state: 'too-few',
      words: 'Dose per minute 50 mL/min on day 0: two more readings and the day can be told',
    })
    const two = wearOf(falling([0, 60]), tube, { sinceDay: 0, formatDay })
    expect(two).toMatchObject({ state: 'too-few', thresholdDay: null })
    expect(two.words).toContain('going on like that about day 500, but one more reading is needed')
  })
  test('that does not move gives no date', () => {
    const level = [0, 60, 120].map((day) => ({ day, value: 50 }))
    expect(wearOf(level, tube, { sinceDay: 0, formatDay })).toMatchObject({ state: 'level', thresholdDay: null })
    const rising = [0, 60, 120].map((day) => ({ day, value: 50 + day / 100 }))
    expect(wearOf(rising, tube, { sinceDay: 0, formatDay }).state).toBe('level')
  })
  test('before the last renewal does not count, and neither does its baseline', () => {
    const readings = [...falling([0, 60, 120]), { day: 200, value: 60 }, { day: 260, value: 59.4 }]
    const wear = wearOf(readings, tube, { sinceDay: 200, formatDay })
    expect(wear).toMatchObject({ state: 'too-few', baseline: 60, threshold: 54 })
  })
  test('that has crossed says since when at the latest', () => {
    const wear = wearOf([...falling([0, 60, 120]), { day: 180, value: 44 }], tube, { sinceDay: 0, formatDay })
    expect(wear).toMatchObject({ state: 'crossed', lowerDay: 120, thresholdDay: 180, upperDay: 180 })
    expect(wearBand(wear)).toEqual([])
  })
  test('never crosses behind its last reading, which had not', () => {
    // Fast at first, slow later: the line alone would have crossed at once.
    const readings = [50, 46, 45.6, 45.5].map((value, place) => ({ day: place * 30, value }))
    const wear = wearOf(readings, tube, { sinceDay: 0, formatDay })
    expect(wear.state).toBe('dated')
    expect(wear.lowerDay).toBeGreaterThanOrEqual(90)
    expect(wear.thresholdDay).toBeGreaterThanOrEqual(90)
  })
  test('has a band that rises through its middle', () => {
    const wear = wearOf(falling([0, 60, 120, 180], [0, 0.1, -0.1, 0]), tube, { sinceDay: 0, formatDay })
    const band = wearBand(wear)
    expect(band.map(({ probability }) => probability)).toEqual([0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95])
    expect(band.every(({ day }, place) => place === 0 || day >= (band[place - 1]?.day ?? 0))).toBe(true)
    expect(band[1]?.day).toBeCloseTo(wear.lowerDay ?? 0, -1)
  })
})

describe('the band, simulated', () => {
  // Truth: the dose falls by a hundredth a day from 50 mL/min, so it is 10 % down on day 500; a membrane loses a hundredth of a point a day from 97 %; each reading is off by a
  // normal error. Readings every 30 to 60 days, five to ten of them, none past the threshold.
  const random = seededRandom(52)
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
  const cover = (rule: typeof tube, start: number, crossing: number, error: number) => {
    let [held, dated] = [0, 0]
    for (let run = 0; run < 3000; run++) {
      const count = 5 + Math.floor(6 * random())
      let day = 0
      const readings = Array.from({ length: count }, () => {
        const value = start - 0.01 * day + error * normal()
        const reading = { day, value }
        day += 30 + Math.floor(30 * random())
        return reading
      })
      const wear = wearOf(readings, rule, { sinceDay: 0, formatDay })
      if (wear.state !== 'dated' || wear.lowerDay === null) continue
      dated++
      if (wear.lowerDay <= crossing && crossing <= (wear.upperDay ?? Infinity)) held++
    }
    return held / dated
  }
  const shares = { tube: cover(tube, 50, 500, 0.25), membrane: cover(membrane, 97, 500, 0.3) }

  test(`"8 in 10 sure" holds about 8 times in 10, though the threshold hangs on the device's own beginning (${JSON.stringify(shares)})`, () => {
    for (const share of Object.values(shares)) {
      expect(share).toBeGreaterThan(0.77)
      expect(share).toBeLessThan(0.84)
    }
  })
})

describe('lamp hours', () => {
  test('start at nothing with the lamp: two readings at 20 h a day date 8,000 h to day 400', () => {
    const wear = wearOf(
      [
        { day: 100, value: 2000 },
        { day: 200, value: 4000 },
      ],
      lamp,
      { sinceDay: 0, formatDay },
    )
    expect(wear.state).toBe('dated')
    expect(Math.abs((wear.thresholdDay ?? 0) - 400)).toBeLessThanOrEqual(1)
  })
  test('"8 in 10 sure" holds at least so often where the hours of a day vary (simulated)', () => {
    // Truth: 10 h a day, off by a normal error of 1 h each day, and every 60 days set anew by as much; three or six readings until day 400.
    const random = seededRandom(8000)
    const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
    const share = (count: number, isSetAnew: boolean) => {
      let [held, dated] = [0, 0]
      for (let run = 0; run < 400; run++) {
        let [hours, setTo] = [0, 10]
        const readings: { day: number; value: number }[] = []
        let crossing = 0
        for (let day = 1; crossing === 0; day++) {
          if (isSetAnew && day % 60 === 0) setTo = Math.max(2, setTo + normal())
          hours += Math.max(0, setTo + (isSetAnew ? 0 : normal()))
          if (day <= 400 && day % Math.round(400 / count) === 0) readings.push({ day, value: hours })
          if (hours >= 8000) crossing = day
        }
        const wear = wearOf(readings, lamp, { sinceDay: 0, formatDay })
        if (wear.state !== 'dated' || wear.lowerDay === null) continue
        dated++
        if (wear.lowerDay <= crossing && crossing <= (wear.upperDay ?? Infinity)) held++
      }
      return held / dated
    }
    const shares = [share(3, false), share(6, false), share(3, true), share(6, true)]
    console.info(`lamp hours, 8 in 10 held: ${shares.map((one) => `${(100 * one).toFixed(0)} %`).join(', ')}`)
    for (const one of shares.slice(0, 2)) expect(one).toBeGreaterThan(0.77)
    // A timer set anew is not what the model takes for granted: the last two are reported, not asserted.
  })
  test('that fell tell of another lamp', () => {
    const readings = [100, 200, 210, 260].map((day, place) => ({ day, value: [2000, 4000, 50, 1050][place] ?? 0 }))
    const wear = wearOf(readings, lamp, { sinceDay: null, formatDay })
    expect(wear.path.map(({ day }) => day)).toEqual([210, 260])
  })
  test('of a lamp that nobody wrote down do not start at the renewal of the one before', () => {
    // 24 hours a day since day 607; the counter before it fell at the change. The renewal on record is that of day 0.
    const readings = [500, 620, 660, 700].map((day) => ({ day, value: 24 * (day - (day < 607 ? 0 : 607)) }))
    const own = readings.slice(1)
    const wear = wearOf(readings, lamp, { sinceDay: 0, formatDay })
    expect(wear).toMatchObject({ state: 'dated' })
    expect(wear.thresholdDay).toBe(wearOf(own, lamp, { sinceDay: 607, formatDay }).thresholdDay)
  })
})

describe('membranes', () => {
  test('keep back 1 − out / in', () => {
    expect(rejectionOf({ into: 250, out: 10 })).toBe(96)
    expect(rejectionOf({ into: 300, out: 0 })).toBe(100)
    expect(() => rejectionOf({ into: 0, out: 0 })).toThrow(RangeError)
    expect(() => rejectionOf({ into: 10, out: 11 })).toThrow(RangeError)
  })
  test('are renewed under 90 %, or 5 points under their own baseline, whichever comes first', () => {
    expect(thresholdOf(membrane, 98).value).toBe(93)
    expect(thresholdOf(membrane, 93).value).toBe(90)
  })
})
