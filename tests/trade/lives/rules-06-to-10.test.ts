// The rules by which findings become lives are the project's own convention; expected limits worked out by hand. Delayed entry
// (left truncation) in the sense of Lawless 2003, Statistical Models and Methods for Lifetime Data, section 2.4.
import { describe, expect, test } from 'vitest'
import {
  expandVisit,
  type LaneEvent,
  livesForPlainFit,
  livesOfLane,
  type ModeRule,
  modesOf,
  tasksOf,
} from '@/lib/trade'
import { needsIt, needsItUnsure, OPENED_MODE, ok, renewed, reported, shallowOk } from './lane-words'

const REPLACED_ONLY: ModeRule = { lookNeeded: 'opened', announcesItself: false, renewedOnlyByReplacing: true }
const read = (events: LaneEvent[], mode: ModeRule = OPENED_MODE, cutoffDay = 1000) =>
  livesOfLane({ mode, events }, { cutoffDay })
const limits = (events: LaneEvent[], mode?: ModeRule) => read(events, mode).lives.map(({ observation }) => observation)

describe('rule 6: found and not renewed', () => {
  const events = [renewed(100), ok(114), needsIt(128), needsIt(142), ok(156), needsIt(170), reported(171)]
  test('is one event, further looks are ignored', () => {
    expect(limits(events)).toEqual([{ lower: 14, upper: 28 }])
    expect(read(events)).toMatchObject({ state: 'found', needOpenSince: 128, originDay: null, runningSince: null })
  })
  test('the next life starts at the next effective renewal', () => {
    expect(limits([...events, renewed(184, 'found'), ok(198)])).toEqual([
      { lower: 14, upper: 28 },
      { lower: 14, upper: Infinity },
    ])
  })
})

describe('rule 7: cure not sure', () => {
  test('found again at the next look is the same episode: one event, the origin moves on', () => {
    const lane = read([
      renewed(0),
      ok(14),
      needsItUnsure(28),
      renewed(28, 'found'),
      needsIt(42),
      renewed(42, 'found'),
      ok(56),
    ])
    expect(lane.lives.map(({ observation, startDay }) => ({ ...observation, startDay }))).toEqual([
      { lower: 14, upper: 28, startDay: 0 },
      { lower: 14, upper: Infinity, startDay: 42 },
    ])
    expect(lane).toMatchObject({ originDay: 42, provisional: false })
  })
  test('the first ok confirms: what is found after it is a new event, counted from the unsure renewal', () => {
    expect(limits([renewed(0), ok(14), needsItUnsure(28), renewed(28, 'found'), ok(42), needsIt(56)])).toEqual([
      { lower: 14, upper: 28 },
      { lower: 14, upper: 28 },
    ])
  })
  test('a shallow ok does not confirm', () => {
    expect(limits([renewed(0), ok(14), needsItUnsure(28), renewed(28, 'found'), shallowOk(42), needsIt(56)])).toEqual([
      { lower: 14, upper: 28 },
    ])
  })
  test('with a sure cure the same findings are two events', () => {
    expect(limits([renewed(0), ok(14), needsIt(28), renewed(28, 'found'), needsIt(42)])).toEqual([
      { lower: 14, upper: 28 },
      { lower: 0, upper: 14 },
    ])
  })
  test('the lane says that a cure waits for its confirmation', () => {
    expect(read([renewed(0), ok(14), needsItUnsure(28), renewed(28, 'found')])).toMatchObject({ provisional: true })
  })
})

describe('rule 8: one task, several modes', () => {
  const modes = modesOf('protein-skimmer').map((mode) => mode.slug)
  const stripDown = tasksOf('protein-skimmer').find((task) => task.slug === 'protein-skimmer/strip-down')
  const renews = stripDown?.renews ?? []
  const start = expandVisit({ day: 0, modes, findings: [], tasks: [{ task: 'strip', renews, reason: 'schedule' }] })
  const middle = expandVisit({
    day: 28,
    modes,
    findings: ['impeller-film', 'wheel-clogged'].map((name) => ({
      mode: `protein-skimmer/${name}`,
      asFound: 'ok',
      depth: 'opened',
    })),
    tasks: [],
  })
  const end = expandVisit({
    day: 56,
    modes,
    findings: [{ mode: 'protein-skimmer/wheel-clogged', asFound: 'needs_it', depth: 'opened' }],
    tasks: [{ task: 'strip', renews, reason: 'condition', forModes: ['protein-skimmer/wheel-clogged'] }],
  })
  const laneOf = (mode: string) => [start, middle, end].flatMap((visit) => visit.get(mode) ?? [])

  test('looked at: its own result', () => {
    expect(limits(laneOf('protein-skimmer/wheel-clogged'))).toEqual([{ lower: 28, upper: 56 }])
  })
  test('not looked at: censored at its last ok', () => {
    expect(limits(laneOf('protein-skimmer/impeller-film'))).toEqual([{ lower: 28, upper: Infinity }])
    expect(limits(laneOf('protein-skimmer/body-fouled'))).toEqual([])
  })
  test('all modes of the task start anew, others do not', () => {
    for (const mode of renews) expect(read(laneOf(mode)).originDay, mode).toBe(56)
    expect(laneOf('protein-skimmer/air-line-restricted')).toEqual([])
  })
  test('the own look stands before the renewal', () => {
    expect(end.get('protein-skimmer/wheel-clogged')?.map((event) => event.kind)).toEqual(['look', 'renewal'])
  })
  test('for the modes that nobody needed it was "while it was out"', () => {
    expect(end.get('protein-skimmer/impeller-film')?.at(-1)).toMatchObject({ kind: 'renewal', reason: 'while_out' })
  })
  test('a partial task renews nothing', () => {
    const partial = expandVisit({
      day: 40,
      modes,
      findings: [],
      tasks: [{ task: 'strip', renews, reason: 'schedule', partial: true }],
    })
    const events = [start, middle, partial].flatMap((visit) => visit.get('protein-skimmer/impeller-film') ?? [])
    expect(read(events)).toMatchObject({ originDay: 0 })
  })
})

describe('rule 9: swaps and pauses', () => {
  const swap = expandVisit({
    day: 56,
    modes: ['a', 'b'],
    findings: [],
    tasks: [],
    swap: { becauseOfMode: 'a', newDevice: { byUs: true, confirmed: true } },
  })
  const before = [renewed(0), ok(28)]
  test('the mode for which the device was swapped is an event', () => {
    expect(limits([...before, ...(swap.get('a') ?? [])])).toEqual([{ lower: 28, upper: 56 }])
  })
  test('the others are censored at their last ok', () => {
    expect(limits([...before, ...(swap.get('b') ?? [])])).toEqual([{ lower: 28, upper: Infinity }])
  })
  test('the lane follows the slot, the life the device: the new one starts anew', () => {
    expect(read([...before, ...(swap.get('b') ?? [])])).toMatchObject({ state: 'running', originDay: 56 })
  })
  test('a need seen before the swap is not counted twice', () => {
    expect(limits([...before, needsIt(56), ...(swap.get('a') ?? [])])).toEqual([{ lower: 28, upper: 56 }])
  })
  test('paused: censored at the last ok before, looks in between count for nothing, a renewal restarts', () => {
    expect(limits([...before, { kind: 'paused', day: 100 }, ok(120), needsIt(130), renewed(140), ok(150)])).toEqual([
      { lower: 28, upper: Infinity },
      { lower: 10, upper: Infinity },
    ])
    expect(read([...before, { kind: 'paused', day: 100 }, ok(120)]).state).toBe('paused')
  })
})

describe('rule 10: age unknown at first sight', () => {
  const installed = (day: number, byUs: boolean, confirmed: boolean): LaneEvent => ({
    kind: 'installed',
    day,
    byUs,
    confirmed,
  })

  test('the plain fit starts at the first renewal; the first spell is kept apart with its limits from first sight', () => {
    const { lives } = read([ok(10), ok(24), needsIt(38), renewed(38, 'found'), ok(52)])
    expect(livesForPlainFit(lives).map(({ observation }) => observation)).toEqual([{ lower: 14, upper: Infinity }])
    expect(lives[0]).toMatchObject({ unknownAge: { lower: 14, upper: 28 }, event: true })
  })
  test('clean to the first renewal: the spell is right-censored, not dropped', () => {
    expect(read([ok(10), ok(24), renewed(38)]).lives[0]?.unknownAge).toEqual({ lower: 14, upper: Infinity })
  })
  test('found at first sight: no observation', () => {
    expect(read([needsIt(10), renewed(10, 'found')]).lives).toEqual([])
  })
  test('installed, renewed by nothing but replacing: enters at the age of our first look', () => {
    expect(limits([installed(-300, false, true), ok(10), ok(24), needsIt(38)], REPLACED_ONLY)).toEqual([
      { lower: 324, upper: 338, truncatedAt: 310 },
    ])
  })
  test('the same, found at our first look: no observation', () => {
    expect(limits([installed(-300, false, true), needsIt(10)], REPLACED_ONLY)).toEqual([])
  })
  test('the same, seen once: entry and exit in one, no observation', () => {
    expect(limits([installed(-300, false, true), ok(10)], REPLACED_ONLY)).toEqual([])
  })
  test('installed starts nothing for a mode that cleaning renews', () => {
    const { lives } = read([installed(-300, false, true), ok(10), needsIt(38)])
    expect(livesForPlainFit(lives)).toEqual([])
  })
  test('an installation visit by us renews all modes', () => {
    expect(limits([installed(0, true, true), ok(14), needsIt(28)])).toEqual([{ lower: 14, upper: 28 }])
  })
  test('an imported date starts nothing until a person confirms it', () => {
    const { lives } = read([installed(-300, false, false), ok(10), needsIt(38)], REPLACED_ONLY)
    expect(livesForPlainFit(lives)).toEqual([])
    expect(lives[0]?.unknownAge).toEqual({ lower: 0, upper: 28 })
  })
})
