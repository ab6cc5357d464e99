import { describe, expect, test } from 'vitest'
import { dayIn } from '@/lib/office/clients/days'
import { oldVisitsFile } from '@/seed/old-records'
import { DEMO_SEED, planDemo } from '@/seed/plan'
import { scriptOf, type TankMemory } from '@/seed/visit-script'

const WEDNESDAY = new Date('2026-11-25T11:00:00Z')
const SUNDAY = new Date('2026-11-29T11:00:00Z')

/** Everything that would be sent, as text. */
function everything(now: Date, seed?: number): string {
  const plan = planDemo(now, seed)
  const needs = {
    businessId: 'a',
    timeMs: now.getTime(),
    today: plan.calendar.today,
    priceIds: new Map(),
    partIds: new Map(),
    isRead: true,
  }
  const scripts = plan.stories.map((stories) => {
    const memory: TankMemory = { devices: new Map(), promised: [] }
    return stories.filter(({ visit }) => !visit.isOld).map((story) => scriptOf(story, memory, needs))
  })
  const old = oldVisitsFile(plan.register, plan.stories.flat())
  return JSON.stringify([plan.register, scripts]) + new TextDecoder().decode(old.bytes)
}

describe('the plan of the demo', () => {
  test('is the same for the same seed and now, and another for another seed', () => {
    const first = everything(WEDNESDAY)
    expect(everything(WEDNESDAY)).toBe(first)
    expect(everything(WEDNESDAY, DEMO_SEED + 1)).not.toBe(first)
  })

  test.each([WEDNESDAY, SUNDAY])('is in the middle of a working day, on any day of the week', (now) => {
    const { visits, calendar } = planDemo(now)
    const today = visits.filter(({ day }) => day === dayIn(calendar.timeZone, now))
    expect(new Set(today.map(({ technician }) => technician)).size).toBe(3)
    expect(today.some(({ startsAt }) => startsAt < now)).toBe(true)
  })

  test('sends nobody to two tanks at once', () => {
    const { visits } = planDemo(WEDNESDAY)
    const overlaps = [0, 1, 2].flatMap((who) => {
      const route = visits.filter(({ technician }) => technician === who)
      return route.filter(({ startsAt }, place) => {
        const before = route[place - 1]
        return before !== undefined && before.startsAt.getTime() + before.minutes * 60_000 > startsAt.getTime()
      })
    })
    expect(overlaps).toEqual([])
  })

  test('logs nothing that is still to come', () => {
    const plan = planDemo(WEDNESDAY)
    const needs = {
      businessId: 'a',
      timeMs: WEDNESDAY.getTime(),
      today: '2026-11-25',
      priceIds: new Map(),
      partIds: new Map(),
      isRead: false,
    }
    const sent = plan.stories.flatMap((stories) => {
      const memory: TankMemory = { devices: new Map(), promised: [] }
      return stories.flatMap((story) => (story.visit.isBooked ? scriptOf(story, memory, needs) : []))
    })
    expect(sent.length).toBeGreaterThan(0)
    expect(sent.filter(({ madeAt }) => Date.parse(madeAt) > WEDNESDAY.getTime())).toEqual([])
  })
})
