import { describe, expect, test } from 'vitest'
import { weekdayOf } from '@/lib/office/booking/local-time'
import { addDays } from '@/lib/office/frame/days'
import { failureOf } from '@/seed/drivers'
import { oldVisitsFile } from '@/seed/old-records'
import { DEMO_SEED, type DemoPlan, planDemo } from '@/seed/plan'
import { firstVisitSince } from '@/seed/plan-lots'
import type { DemoVisit } from '@/seed/plan-visits'
import { PLANTED_MODE, REMEDIED, WEAK_SALT } from '@/seed/truth'
import { scriptOf, type TankMemory } from '@/seed/visit-script'
import { faultsOfPlan } from './faults-of-plan'
import { INSTANTS } from './instants'
import { lotShiftsOfPlan } from './lots-of-plan'

const WEDNESDAY = new Date('2026-11-25T11:00:00Z')

/** What phones have sent by `now`, by visit. */
function sentBy(plan: DemoPlan): Map<DemoVisit, { kind: string; madeAt: string }[]> {
  const { now, today } = plan.calendar
  const needs = { businessId: 'a', timeMs: now.getTime(), today, priceIds: new Map(), partIds: new Map(), isRead: true }
  const scripts = plan.stories.flatMap((stories) => {
    const memory: TankMemory = { devices: new Map(), promised: [] }
    return stories
      .filter(({ visit }) => !visit.isOld)
      .map((story) => [story.visit, scriptOf(story, memory, needs)] as const)
  })
  return new Map(scripts)
}

/** Everything that would be sent, as text. */
function everything(plan: DemoPlan): string {
  const old = oldVisitsFile(plan.register, plan.stories.flat())
  return JSON.stringify([plan.register, [...sentBy(plan).values()]]) + new TextDecoder().decode(old.bytes)
}

/** What happened before this week, told without a date. */
const pastOf = ({ stories }: DemoPlan) =>
  stories.map((ofTank) =>
    ofTank
      .filter(({ visit }) => visit.week < 0)
      .map(({ visit, ending, looks, jobs, open, readings }) => {
        const { storyDay, technician, kind, startMinute, minutes, isOld } = visit
        const seen = (one: { life: { mode: string }; isBad: boolean }) => `${one.life.mode} ${one.isBad}`
        const found = [...looks, ...open].map(seen)
        const done = jobs.map((job) => [job.task, job.device.label, job.looks.map(seen)])
        return { storyDay, technician, kind, startMinute, minutes, isOld, ending, found, done, readings }
      }),
  )

test('the plan of the demo is the same for the same seed and now, and another for another seed', () => {
  const first = everything(planDemo(WEDNESDAY))
  expect(everything(planDemo(WEDNESDAY))).toBe(first)
  expect(everything(planDemo(WEDNESDAY, DEMO_SEED + 1))).not.toBe(first)
})

const PAST = pastOf(planDemo(WEDNESDAY))

describe.each(INSTANTS)('at $name', ({ now }) => {
  const plan = planDemo(now)
  const { visits, calendar, register } = plan
  const { today, monday } = calendar
  const isWeekend = weekdayOf(today) > 5

  test('the same things happened before this week as at any other instant', () => {
    expect(pastOf(plan)).toEqual(PAST)
  })

  test('everybody has four to seven visits on each working day, within working hours, and nobody drives at a weekend', () => {
    expect(visits.filter(({ day }) => weekdayOf(day) > 5)).toEqual([])
    for (const week of [0, 1, 2])
      for (const place of [0, 1, 2, 3, 4])
        for (const technician of [0, 1, 2]) {
          const route = visits.filter(
            (one) => one.day === addDays(monday, week * 7 + place) && one.technician === technician,
          )
          expect(route.length).toBeGreaterThanOrEqual(4)
          expect(route.length).toBeLessThanOrEqual(7)
          for (const { startMinute, minutes } of route) {
            expect(startMinute).toBeGreaterThanOrEqual(8 * 60)
            expect(startMinute + minutes).toBeLessThanOrEqual(17 * 60 + 30)
          }
        }
    expect(visits.some(({ day }) => day === today)).toBe(!isWeekend)
    const next = visits.find(({ day }) => day > today)
    expect(next?.isBooked).toBe(true)
    expect(next?.day).toBe(weekdayOf(today) < 5 ? addDays(today, 1) : addDays(monday, 7))
  })

  test('phones have sent what was done by now, of today as far as the hour says, and nothing that is still to come', () => {
    const sent = sentBy(plan)
    for (const [{ startsAt, minutes }, commands] of sent) {
      expect(commands.filter(({ madeAt }) => Date.parse(madeAt) > now.getTime())).toEqual([])
      const isOver = startsAt.getTime() + (minutes + 1) * 60_000 < now.getTime()
      expect(commands.some(({ kind }) => kind === 'visit.leave' || kind === 'visit.no-access')).toBe(isOver)
      if (startsAt > now) expect(commands).toEqual([])
    }
  })

  test('sends nobody to two tanks at once', () => {
    const overlaps = [0, 1, 2].flatMap((who) => {
      const route = visits.filter(({ technician }) => technician === who)
      return route.filter(({ startsAt }, place) => {
        const before = route[place - 1]
        return before !== undefined && before.startsAt.getTime() + before.minutes * 60_000 > startsAt.getTime()
      })
    })
    expect(overlaps).toEqual([])
  })

  test('only the weak salt is named among the lots, and no other comes near', () => {
    const shifts = lotShiftsOfPlan(plan)
    expect(shifts.filter(({ found }) => found)).toMatchObject([
      { lot: WEAK_SALT.label, quantity: 'alkalinity', direction: 'fell' },
    ])
    // The other salt's tanks stand out against those on the weak one, and without them no more: that is one shift, named once.
    const others = shifts.filter(
      ({ lot, quantity }) => quantity !== 'alkalinity' || !['SL-2410', 'SL-2411'].includes(lot),
    )
    expect(others.length).toBeGreaterThan(15)
    // Named is what falls below 0.05.
    expect(Math.min(...others.map(({ adjustedP }) => adjustedP))).toBeGreaterThan(0.2)
  })

  test('phones tell of enough failures and needs to say how often to come', () => {
    const seen = plan.stories.flat().filter(({ visit }) => !visit.isOld && visit.day < today)
    const needs = seen.flatMap(({ visit, jobs }) =>
      jobs.flatMap((job) =>
        job.looks.filter(({ isBad }) => isBad).map(({ life }) => failureOf(visit.tank, visit.storyDay, life.mode)),
      ),
    )
    // An answer needs five and twenty; not every visit's counts.
    expect(needs.filter(({ failed }) => failed).length).toBeGreaterThan(12)
    expect(needs.length).toBeGreaterThan(100)
  })

  test('exactly the planted wheels are surely worse than the route, and no other comes near', () => {
    const faults = faultsOfPlan(plan, PLANTED_MODE)
    const planted = new Set(register.tanks.filter(({ isPlanted }) => isPlanted).map(({ id }) => id))
    expect(new Set(faults.filter(({ sure }) => sure).map(({ tank }) => tank))).toEqual(planted)
    // Of some fifty tanks the third must fall below 0.05 × 3 / 50, a fourth below 0.05 × 4 / 50.
    for (const { tank, pValue } of faults)
      if (planted.has(tank)) expect(pValue).toBeLessThan(0.0005)
      else expect(pValue).toBeGreaterThan(0.02)
  })

  test('the planted wheels clog often, and hardly any more once the screen is in', () => {
    const found = register.tanks
      .filter(({ isPlanted }) => isPlanted)
      .map((tank) => {
        const remedy = firstVisitSince(
          visits.filter((visit) => visit.tank === tank),
          REMEDIED.week,
        )
        const bad = (plan.stories[tank.number] ?? []).filter(
          ({ visit, jobs }) =>
            visit.day < today &&
            jobs.some((job) => job.looks.some(({ life, isBad }) => isBad && life.mode === PLANTED_MODE)),
        )
        const before = bad.filter(({ visit }) => visit.day < (remedy?.day ?? '')).length
        return { isRemedied: tank.number === REMEDIED.tankNumber, before, since: bad.length - before }
      })
    expect(found).toHaveLength(3)
    for (const { isRemedied, before, since } of found) {
      expect(before + since).toBeGreaterThan(8)
      if (isRemedied) expect(before).toBeGreaterThan(15)
      if (isRemedied) expect(since).toBeLessThan(3)
    }
  })
})
