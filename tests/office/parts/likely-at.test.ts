import { expect, test } from 'vitest'
import type { DuePart } from '@/lib/office/parts/due-parts'
import { likelyAt } from '@/lib/office/parts/likely-at'

const device = (over: Partial<DuePart & { inDays: number }> = {}) => {
  const { inDays = 3, ...due } = over
  return {
    ...{ partId: 'lamp', quantity: 1, equipmentId: 'uv', tankId: 'hall', tankName: 'Hall', siteName: 'School' },
    ...{ deviceLabel: 'UV', careTask: 'uv-steriliser/replace-lamp', taskName: 'Fit a new lamp' },
    failureMode: 'uv-steriliser/lamp-past-hours',
    life: { shape: 3, scale: 400 },
    lifeSpread: { group: 'uv', shared: 0, own: 0 },
    ...{ isAnnounced: false, visitEveryDays: 14, ageDays: 380, okAgeDays: 380, renewAtDays: Number.POSITIVE_INFINITY },
    ...{ met: null, isOpen: false, isUnseen: false, dueDay: null, secondTripMinor: 8800 },
    ...due,
    nextVisit: { inDays, isBooked: true },
  }
}

test('a device uses nothing before its visit, unless its need announces itself', () => {
  expect(likelyAt(device({ inDays: 30 }), 17, 0, 1)).toEqual({ chance: 0, likely: 0, isCounted: false })
  const atOnce = likelyAt(device({ inDays: 30, isAnnounced: true }), 17, 0, 1)
  expect(atOnce.isCounted).toBe(true)
  expect(atOnce.chance).toBeGreaterThan(0)
})

test('the chance is that of the life, given its age; what is open is used for sure, as many as it takes', () => {
  // By hand: 1 − S(397)/S(380) for Weibull(3, 400).
  const byHand = 1 - Math.exp((380 / 400) ** 3 - (397 / 400) ** 3)
  expect(likelyAt(device(), 17, 0, 1).chance).toBeCloseTo(byHand, 1)
  expect(likelyAt(device({ isOpen: true, quantity: 2 }), 17, 0, 1)).toMatchObject({ chance: 1, likely: 2 })
})
