import { describe, expect, test } from 'vitest'
import { planImport } from '@/lib/office/old-records/plan-import'
import { fitWeibull } from '@/lib/science'
import { findMode } from '@/lib/trade/catalogue'
import { type LaneEvent, livesForPlainFit, livesOfLane } from '@/lib/trade/lives'
import { expectedLives, sampleFiles } from '../../reference/old-records/sample'

// Source: expected-lives.json of the sample: R's survival::survreg 3.5, Surv(type = "interval2"), Weibull, on the same rows; its
// conventions stand with the sample (done renews only its own row's mode; imported looks count at full depth; installed ignored).
const dayNumber = (date: string) => Date.parse(`${date}T00:00:00Z`) / 86_400_000

function observationsByMode() {
  const plan = planImport(sampleFiles(), { gallon: 'us' })
  const words = new Map(plan.equipment.map((device) => [device.key, device.classWords]))
  const lanes = new Map<string, { name: string; slug: string; events: LaneEvent[] }>()
  for (const visit of plan.visits)
    for (const row of visit.rows) {
      if (row.equipmentKey === null || row.modeSlug === null) continue
      const at = `${row.equipmentKey} ${row.modeSlug}`
      const lane = lanes.get(at) ?? {
        name: `${words.get(row.equipmentKey)} / ${row.modeWords}`,
        slug: row.modeSlug,
        events: [],
      }
      lanes.set(at, lane)
      const day = dayNumber(visit.date)
      lane.events.push({ kind: 'look', day, asFound: row.asFound, depth: 'running', source: 'imported' })
      if (row.done !== 'nothing')
        lane.events.push({ kind: 'renewal', day, reason: row.asFound === 'ok' ? 'schedule' : 'found' })
    }
  const byMode = new Map<string, { lower: number; upper: number }[]>()
  for (const { name, slug, events } of lanes.values()) {
    const known = findMode(slug)
    // Nothing in the file reports a fault between visits, so that no mode announces itself here.
    const mode = { lookNeeded: known?.lookNeeded ?? 'running', announcesItself: false } as const
    const lives = livesForPlainFit(livesOfLane({ mode, events }, { cutoffDay: dayNumber('2100-01-01') }).lives)
    const weeks = lives.map(({ observation }) => ({ lower: observation.lower / 7, upper: observation.upper / 7 }))
    byMode.set(name, [...(byMode.get(name) ?? []), ...weeks])
  }
  return byMode
}

describe('lives of the imported sample', () => {
  const expected = expectedLives()
  const byMode = observationsByMode()

  test.each(Object.entries(expected))('%s: as many lives and events as R counts, and the same fit', (name, printed) => {
    const observations = byMode.get(name) ?? []
    expect(observations).toHaveLength(printed.lives)
    expect(observations.filter((each) => each.upper !== Number.POSITIVE_INFINITY)).toHaveLength(printed.events)
    const fit = fitWeibull(observations)
    // R prints seven digits and stops its iteration a little earlier than we do.
    expect(fit.scale / printed.scale_weeks).toBeCloseTo(1, 4)
    expect(fit.shape / printed.shape).toBeCloseTo(1, 4)
    expect(fit.logLikelihood).toBeCloseTo(printed.loglik, 2)
  })
})
