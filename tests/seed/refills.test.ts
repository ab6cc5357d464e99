import { describe, expect, test } from 'vitest'
import { refillOf, wearOf, wearRuleOf } from '@/lib/trade'
import { dayNumber } from '@/seed/calendar'
import { planDemo } from '@/seed/plan'
import { planContainers } from '@/seed/plan-containers'
import { planWear } from '@/seed/plan-wear'
import { SHORT_CONTAINERS, TRUE_WEAR } from '@/seed/truth'
import { INSTANTS } from './instants'

describe.each(INSTANTS)('at $name', ({ now }) => {
  const plan = planDemo(now)
  const { containers, moved } = planContainers(plan)
  const nextDay = (tankId: string) => {
    const next = plan.visits.find(
      ({ tank, isBooked, day }) => tank.id === tankId && isBooked && day > plan.calendar.today,
    )
    return next ? dayNumber(next === moved?.visit ? moved.date : next.day) : null
  }
  test('two containers do not last, and the visit of one was moved', () => {
    const short = containers.filter(({ kind, capacity, emptyAt, levels, tank, label, unit }) => {
      const records = levels.map(({ visit, before, after }) => ({ day: visit.dayNumber, before, after }))
      const container = { kind, label, unit, capacity, emptyAt, filledBy: 'technician' as const }
      return (refillOf(container, records, nextDay(tank.id)).chance ?? 1) < 0.75
    })
    expect(short.map(({ label }) => label).toSorted()).toEqual(Object.values(SHORT_CONTAINERS).toSorted())
    expect(moved?.date).toBeDefined()
  })
  test('every kind of container has its levels', () => {
    expect(new Set(containers.map(({ kind }) => kind)).size).toBeGreaterThan(5)
    for (const { levels } of containers) expect(levels.length).toBeGreaterThan(4)
  })

  test('what wears is found to cross on its true day, or within twice the half width of its band', () => {
    const stories = planWear(plan)
    expect(stories.map(({ mode }) => mode)).toEqual(Object.keys(TRUE_WEAR))
    for (const { mode, crossesDay, readings } of stories) {
      const rule = wearRuleOf(mode)
      if (!rule) throw new Error(`no rule for ${mode}`)
      const path = readings.map(({ visit, value, into }) => ({
        day: visit.dayNumber,
        value: into === '' ? Number(value) : 100 * (1 - Number(value) / Number(into)),
      }))
      const wear = wearOf(path, rule, { sinceDay: null, formatDay: String })
      expect(wear.state, mode).toBe('dated')
      const [middle, lower, upper] = [wear.thresholdDay ?? 0, wear.lowerDay ?? 0, wear.upperDay ?? 0]
      expect(crossesDay, mode).toBeGreaterThan(middle - 2 * Math.max(3, middle - lower))
      expect(crossesDay, mode).toBeLessThan(middle + 2 * Math.max(3, upper - middle))
    }
  })
})
