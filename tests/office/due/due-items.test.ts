// The age limit itself is the trade's ("common practice, no source", where it stands in the catalogue); here that nothing hides it.
import { describe, expect, test } from 'vitest'
import { summariseLane } from '@/lib/office/lanes/derive'
import { dueDrafts, type TankSettings } from '@/lib/office/lanes/due-items'
import { modelInUse } from '@/lib/office/lanes/life-models'
import { findMode, type LaneEvent } from '@/lib/trade'

const settings: TankSettings = {
  costRows: [],
  clientCost: null,
  visitEveryDays: 14,
  choicesOf: () => ({ acceptedDays: Number.POSITIVE_INFINITY }),
  partsCostOf: () => 3000,
  labourPerMinute: 80,
  wearOf: () => undefined,
  formatMoney: (minor) => String(minor),
  cutoffDay: 1000,
}

function lane(failureMode: string, events: LaneEvent[]) {
  const mode = findMode(failureMode)
  if (!mode) throw new Error(`no mode ${failureMode}`)
  const device = { equipmentId: 'heater', tankId: 'tank', slotId: 'slot', equipmentClass: 'heater' }
  const read = summariseLane({ ...device, failureMode, mode, events }, 1000)
  return { lane: read, model: modelInUse(failureMode, undefined, []), knowledge: null }
}

const renewed = (day: number): LaneEvent => ({ kind: 'renewal', day, reason: 'found' })
const fine = (day: number): LaneEvent => ({ kind: 'look', day, asFound: 'ok', depth: 'measured', source: 'visit' })

describe('one task that renews several faults', () => {
  const waits = lane('heater/reads-off', [renewed(300), fine(990)])
  const limited = lane('heater/stuck', [renewed(300), fine(990)])

  test('waiting for one fault, which is to be looked at soon, does not hide the age limit of the other', () => {
    const [alone] = dueDrafts([waits], settings)
    expect(alone?.due).toMatchObject({ rule: 'run-to-failure', dueDay: null })
    expect(alone?.due.lookByDay).not.toBeNull()
    for (const order of [
      [waits, limited],
      [limited, waits],
    ]) {
      const drafts = dueDrafts(order, settings)
      expect(drafts).toHaveLength(1)
      expect(drafts[0]).toMatchObject({ careTask: 'heater/replace', failureMode: 'heater/stuck' })
      expect(drafts[0]?.due).toMatchObject({ rule: 'age-limit', dueDay: 300 + 104 * 7 })
      // The look that the waiting fault asks for is not lost either.
      expect(drafts[0]?.due.lookByDay).toBeLessThanOrEqual(alone?.due.lookByDay ?? 0)
    }
  })

  test('a need that is open goes before both', () => {
    const open = lane('heater/reads-off', [renewed(300), { ...fine(990), asFound: 'needs_it' } as LaneEvent])
    expect(dueDrafts([limited, open], settings)[0]?.due).toMatchObject({ rule: 'need-open', dueDay: 990 })
  })
})

describe('what the parts of the work cost', () => {
  const stuck = lane('heater/stuck', [renewed(300), fine(990)])
  const stated = { plannedMinor: 1800, foundMinor: 2200, callOutMinor: 9000, hiddenPerDayMinor: 0, shareReported: 0.1 }
  const costsWith = (equipmentClass: string, failureMode: string) =>
    dueDrafts([stuck], { ...settings, costRows: [{ equipmentClass, failureMode, ...stated }] })[0]?.costs

  test('stands beside a figure for all equipment, which cannot hold it', () => {
    expect(costsWith('*', '*')).toMatchObject({ planned: 4800, found: 5200, callOut: 12_000 })
  })
  test('is not counted twice where the figure is for this class or fault', () => {
    expect(costsWith('heater', '*')).toMatchObject({ planned: 1800, found: 2200, callOut: 9000 })
    expect(costsWith('*', 'heater/stuck')).toMatchObject({ planned: 1800 })
  })
})
