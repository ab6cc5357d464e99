// The rules by which findings become lives are the project's own convention; interval, right and left censoring are used in
// the sense of Lawless 2003, Statistical Models and Methods for Lifetime Data, ch. 2. Expected limits worked out by hand.
import { describe, expect, test } from 'vitest'
import { type LaneEvent, livesForPlainFit, livesOfLane, type ModeRule } from '@/lib/trade'
import {
  ANNOUNCING_MODE,
  failed,
  needsIt,
  needsItUnsure,
  notLooked,
  OPENED_MODE,
  ok,
  renewed,
  reported,
  shallowOk,
} from './lane-words'

const read = (events: LaneEvent[], mode: ModeRule = OPENED_MODE, cutoffDay = 1000) =>
  livesOfLane({ mode, events }, { cutoffDay })
const limits = (events: LaneEvent[], mode?: ModeRule, cutoffDay?: number) =>
  livesForPlainFit(read(events, mode, cutoffDay).lives).map(({ observation }) => observation)

describe('rule 1: a need first seen after a last ok', () => {
  test('lies between the last ok and this look', () => {
    expect(limits([renewed(100), ok(114), ok(128), needsIt(142)])).toEqual([{ lower: 28, upper: 42 }])
  })
  test('failed counts like needs it', () => {
    expect(limits([renewed(100), ok(114), failed(128)])).toEqual([{ lower: 14, upper: 28 }])
  })
  test('without an ok since the renewal it lies between the renewal and this look', () => {
    expect(limits([renewed(100), needsIt(142)])).toEqual([{ lower: 0, upper: 42 }])
  })
  test('a report with a sure day is exact', () => {
    expect(limits([renewed(100), ok(114), reported(125, 120)])).toEqual([{ lower: 20, upper: 20 }])
  })
  test('a report without a sure day lies between the last ok and the report', () => {
    expect(limits([renewed(100), ok(114), reported(125)])).toEqual([{ lower: 14, upper: 25 }])
  })
  test('a sure day before the last ok contradicts the look, and the look is believed', () => {
    expect(limits([renewed(100), ok(114), reported(125, 110)])).toEqual([{ lower: 14, upper: 25 }])
  })
  test('a report of a day before the last renewal ends the life it speaks of, and the new life runs on', () => {
    const told = read([renewed(0), ok(28), renewed(55, 'while_out'), reported(60, 50), ok(70)], OPENED_MODE, 80)
    expect(told.lives.map(({ observation }) => observation)).toEqual([
      { lower: 50, upper: 50 },
      { lower: 15, upper: Infinity },
    ])
    expect(told).toMatchObject({ state: 'running', originDay: 55, needOpenSince: null })
  })
  test('such a report tightens a need that a visit had found, and counts once', () => {
    expect(limits([renewed(0), ok(28), needsIt(52), renewed(55, 'found'), reported(60, 50)])).toEqual([
      { lower: 50, upper: 50 },
    ])
  })
  test('an ok look after the day it names is believed: the need came between that look and the renewal', () => {
    expect(limits([renewed(0), ok(52), renewed(55), reported(60, 50)])).toEqual([{ lower: 52, upper: 55 }])
  })
  test('a report of the very day on which it was found and renewed is the same need', () => {
    const told = read([renewed(0), ok(28), failed(55), renewed(55, 'found'), ok(69), reported(69, 55)], OPENED_MODE, 80)
    expect(told.lives.map(({ observation }) => observation)).toEqual([
      { lower: 55, upper: 55 },
      { lower: 14, upper: Infinity },
    ])
    expect(told).toMatchObject({ state: 'running', needOpenSince: null })
  })
  test('a report of a day before it was paused ends the life that ran then', () => {
    const paused: LaneEvent = { kind: 'paused', day: 55 }
    expect(limits([renewed(0), ok(28), paused, reported(60, 50)])).toEqual([{ lower: 50, upper: 50 }])
  })
  test('a report of a day after the renewal is of the new life', () => {
    expect(limits([renewed(0), ok(28), renewed(55), reported(60, 58)])).toEqual([
      { lower: 28, upper: Infinity },
      { lower: 3, upper: 3 },
    ])
  })
  test('a need on the very day of the renewal has taken part of a day', () => {
    expect(limits([ok(90), renewed(100), failed(100)])).toEqual([{ lower: 0, upper: 1 }])
  })
})

describe('rule 4: how long the running life is known to be fine', () => {
  test('until the last ok, or until the cut-off where the mode announces itself', () => {
    const events = [renewed(0), ok(28)]
    expect(read(events, OPENED_MODE, 80)).toMatchObject({ lastOkDay: 28, fineUntilDay: 28 })
    expect(read(events, ANNOUNCING_MODE, 80)).toMatchObject({ fineUntilDay: 80 })
    expect(read([...events, needsIt(50)], ANNOUNCING_MODE, 80)).toMatchObject({ fineUntilDay: null })
  })
})

describe('rule 2: renewed while ok', () => {
  test('by schedule, looked at deep enough: right-censored at that look', () => {
    expect(limits([renewed(100), ok(114), ok(282), renewed(282)])).toEqual([{ lower: 182, upper: Infinity }])
  })
  test('while it was out, not looked at deep enough: right-censored at the last ok', () => {
    expect(limits([renewed(100), ok(114), shallowOk(282), renewed(282, 'while_out')])).toEqual([
      { lower: 14, upper: Infinity },
    ])
  })
  test('for its condition counts as found, between the ok before and now', () => {
    expect(limits([renewed(100), ok(114), ok(282), renewed(282, 'condition')])).toEqual([{ lower: 14, upper: 182 }])
  })
  test('taking "ok, but getting there" for an ok would draw a life out: the two readings differ', () => {
    const asFound = limits([renewed(0), ok(168), renewed(168, 'condition')])
    const asSchedule = limits([renewed(0), ok(168), renewed(168, 'schedule')])
    expect(asFound).toEqual([{ lower: 0, upper: 168 }])
    expect(asSchedule).toEqual([{ lower: 168, upper: Infinity }])
  })
})

describe('rule 3: depth', () => {
  test('an ok shallower than the mode needs is not looked', () => {
    expect(limits([renewed(100), shallowOk(114), shallowOk(128), needsIt(142)])).toEqual([{ lower: 0, upper: 42 }])
  })
  test('a shallow found counts', () => {
    expect(limits([renewed(100), ok(114), failed(142)])).toEqual([{ lower: 14, upper: 42 }])
  })
  test('seen running is a valid look for a mode that shows while running', () => {
    const mode: ModeRule = { lookNeeded: 'running', announcesItself: false }
    expect(limits([renewed(100), shallowOk(128), needsIt(142)], mode)).toEqual([{ lower: 28, upper: 42 }])
  })
  test('opened is not deep enough for a mode that must be measured', () => {
    const mode: ModeRule = { lookNeeded: 'measured', announcesItself: false }
    expect(limits([renewed(100), ok(128), needsIt(142)], mode)).toEqual([{ lower: 0, upper: 42 }])
  })
  test('an imported look counts at full depth', () => {
    const imported: LaneEvent = { kind: 'look', day: 128, asFound: 'ok', depth: 'running', source: 'imported' }
    expect(limits([renewed(100), imported, needsIt(142)])).toEqual([{ lower: 28, upper: 42 }])
  })
})

describe('rule 4: still running', () => {
  test('right-censored at the last ok look, not at the cut-off', () => {
    const lane = read([renewed(100), ok(114), ok(128), shallowOk(150)], OPENED_MODE, 400)
    expect(lane.lives.map(({ observation }) => observation)).toEqual([{ lower: 28, upper: Infinity }])
    expect(lane).toMatchObject({ state: 'running', runningSince: 100, originDay: 100, lastOkDay: 128 })
  })
  test.each([
    ['the cut-off', [renewed(100)], 300],
    ['a renewal', [renewed(100), renewed(300)], 300],
    ['a removal', [renewed(100), { kind: 'removed', day: 300 }], 400],
    ['a pause', [renewed(100), { kind: 'paused', day: 300 }], 400],
  ] satisfies [string, LaneEvent[], number][])(
    'a mode that announces itself is censored at %s',
    (_, events, cutoffDay) => {
      expect(limits(events, ANNOUNCING_MODE, cutoffDay)[0]).toEqual({ lower: 200, upper: Infinity })
    },
  )
  test('nothing after the cut-off is read', () => {
    const events = [renewed(100), ok(114), needsIt(142)]
    expect(limits(events, OPENED_MODE, 141)).toEqual([{ lower: 14, upper: Infinity }])
    expect(limits(events, OPENED_MODE, 142)).toEqual([{ lower: 14, upper: 42 }])
  })
})

describe('rule 5: nothing seen, nothing known', () => {
  test('no look since the renewal and nothing found: no observation', () => {
    expect(limits([renewed(100), renewed(282), notLooked(300), renewed(464)])).toEqual([])
  })
  test('two renewals on one day are one', () => {
    const lane = read([renewed(100), ok(282), renewed(282), renewed(282, 'while_out'), ok(300)])
    expect(lane.lives.map(({ observation }) => observation)).toEqual([
      { lower: 182, upper: Infinity },
      { lower: 18, upper: Infinity },
    ])
  })
  test('of two renewals on one day the one for a need decides what the life was', () => {
    expect(limits([renewed(100), ok(114), renewed(282, 'while_out'), renewed(282, 'condition')])).toEqual([
      { lower: 14, upper: 182 },
    ])
  })
  test('days that are not whole are refused', () => {
    expect(() => read([renewed(100.5)])).toThrow(RangeError)
    expect(() => read([renewed(100)], OPENED_MODE, Number.NaN)).toThrow(RangeError)
  })
})

describe('a number can be opened to the visits behind it', () => {
  test('`from` names the events, also when others lie between', () => {
    const events = [renewed(100), shallowOk(107), ok(114), notLooked(120), needsItUnsure(142)]
    expect(read(events).lives[0]?.from).toEqual([0, 2, 4])
  })
  test('`lookAges` holds the ages of valid looks and of the discovery', () => {
    expect(read([renewed(100), ok(114), shallowOk(120), ok(128), needsIt(142)]).lives[0]?.lookAges).toEqual([
      14, 28, 42,
    ])
  })
})
