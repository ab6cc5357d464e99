import fc from 'fast-check'
import { expect, test } from 'vitest'
import type { DuePart } from '@/lib/office/parts/due-parts'
import { needsInOrder } from '@/lib/office/parts/needs'
import { findShortages } from '@/lib/office/parts/shortages'
import { addNeeds, chanceShort, demandOfNeeds } from '@/lib/science'

const TODAY = 20_000
const RUNS = 400

const due = fc
  .record({
    shape: fc.double({ min: 0.4, max: 8, noNaN: true }),
    scale: fc.double({ min: 5, max: 3000, noNaN: true }),
    shared: fc.double({ min: 0, max: 1.5, noNaN: true }),
    own: fc.double({ min: 0, max: 1.5, noNaN: true }),
    ageDays: fc.double({ min: 0, max: 4000, noNaN: true }),
    okShare: fc.double({ min: 0, max: 1, noNaN: true }),
    renewAtDays: fc.oneof(fc.constant(Infinity), fc.double({ min: 1, max: 2000, noNaN: true })),
    dueDay: fc.oneof(fc.constant(null), fc.integer({ min: TODAY - 100, max: TODAY + 400 })),
    isOpen: fc.boolean(),
    isAnnounced: fc.boolean(),
    isMet: fc.boolean(),
    quantity: fc.constantFrom(0.5, 1, 2, 3),
    partId: fc.constantFrom('lamp', 'tube'),
  })
  .map(
    ({ shape, scale, shared, own, okShare, isMet, ...rest }, place = 0): DuePart => ({
      ...rest,
      ...{ equipmentId: `device ${place}`, tankId: 'hall', tankName: 'Hall', siteName: 'School', deviceLabel: 'UV' },
      ...{ careTask: 'task', taskName: 'Fit a new one', failureMode: 'mode', visitEveryDays: 14, isUnseen: false },
      ...{ life: { shape, scale }, lifeSpread: { group: 'all', shared, own }, secondTripMinor: 100 },
      okAgeDays: rest.ageDays * okShare,
      met: isMet ? { sinceDays: rest.ageDays, fineDays: rest.ageDays * okShare } : null,
    }),
  )
const days = fc
  .array(fc.integer({ min: 0, max: 60 }), { minLength: 1, maxLength: 12 })
  .map((list) => [...list].sort((a, b) => a - b))

test('what each visit may use comes with a chance, whatever the lives and the plan, and what lacks can be told', () => {
  fc.assert(
    fc.property(fc.array(due, { minLength: 1, maxLength: 12 }), days, (devices, on) => {
      const visits = on.map((day, place) => ({ id: String(place), tankId: 'hall', day: TODAY + day }))
      const needs = needsInOrder(visits, devices, TODAY)
      for (const { chance } of [...needs.values()].flat()) {
        expect(chance).toBeGreaterThanOrEqual(0)
        expect(chance).toBeLessThanOrEqual(1)
      }
      const told = visits.map(({ id, tankId, day }) => ({
        ...{ visitId: id, tankId, tankName: 'Hall', siteName: 'School', technicianId: null, technicianName: '' },
        ...{ on: new Date(day * 86_400_000).toISOString().slice(0, 10), needs: needs.get(id) ?? [] },
      }))
      for (const { chance } of findShortages(told, () => ({ onHand: 2, coming: [] }))) {
        expect(chance).toBeGreaterThan(0.49)
        expect(chance).toBeLessThanOrEqual(1)
      }
    }),
    { numRuns: RUNS },
  )
})

test('a chance that is 1 but for rounding is one', () => {
  // The very sum that stopped Today: 21 shares of certainty.
  expect(demandOfNeeds([{ chance: 1.0000000000000004, quantity: 1 }])).toEqual([0, 1])
  expect(() => demandOfNeeds([{ chance: 1.1, quantity: 1 }])).toThrow(RangeError)
})

test('chances up to what there is are the same whether or not what lies above is kept', () => {
  const needs = fc.array(
    fc.record({ chance: fc.double({ min: 0, max: 1, noNaN: true }), quantity: fc.integer({ min: 1, max: 3 }) }),
    { maxLength: 12 },
  )
  fc.assert(
    fc.property(needs, needs, fc.integer({ min: 0, max: 10 }), (earlier, here, available) => {
      const [whole, cut] = [addNeeds([1], earlier), addNeeds([1], earlier, available)]
      expect(cut.length).toBeLessThanOrEqual(available + 1)
      for (const [n, chance] of cut.entries()) expect(chance).toBeCloseTo(whole[n] ?? 0, 12)
      const wanted = demandOfNeeds(here)
      // By counting every pair of outcomes.
      const counted = whole.reduce(
        (sum, before, n) =>
          sum + wanted.reduce((more, chance, m) => (m > 0 && n + m > available ? more + before * chance : more), 0),
        0,
      )
      expect(chanceShort(cut, wanted, available)).toBeCloseTo(counted, 9)
    }),
    { numRuns: RUNS },
  )
})
