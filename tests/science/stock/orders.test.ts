import { describe, expect, test } from 'vitest'
import { addNeeds, chanceShort, demandOfNeeds, newsvendor, orderQuantity, reorderPoint } from '@/lib/science'
import { poissonMass } from '@/lib/science/stock/poisson-demand'
import { expectRelative } from '../close-to'

describe('orderQuantity', () => {
  // Stevenson, Operations Management, ch. "Inventory Management", the two examples of the basic model (figures from memory): 9,600 tyres a year, 75 an order, 16 a year to
  // keep one: 300 at a time, 32 orders, 4,800 a year; 3,600 tubes of 65, 31 an order, 20 % of the price a year: 131 at a time, 1,704 a year.
  test('agrees with two textbook examples', () => {
    const tyres = orderQuantity({ demandPerYear: 9600, orderCost: 75, keepingCost: 16 })
    expect(tyres).toEqual({ quantity: 300, costPerYear: 4800, ordersPerYear: 32 })
    const tubes = orderQuantity({ demandPerYear: 3600, orderCost: 31, keepingCost: 0.2 * 65 })
    expect(tubes.quantity).toBe(131)
    expect(Math.round(tubes.costPerYear)).toBe(1703) // the book adds two rounded halves: 852 + 852
  })

  test('no other multiple of the pack is cheaper (brute force)', () => {
    for (const packSize of [1, 3, 10, 48])
      for (const [demandPerYear, orderCost, keepingCost] of [
        [0.4, 5, 2],
        [12, 5, 2],
        [260, 8, 0.7],
        [40, 0, 3],
      ] as const) {
        const cost = (quantity: number) => (orderCost * demandPerYear) / quantity + (keepingCost * quantity) / 2
        const all = Array.from({ length: 400 }, (_, n) => (n + 1) * packSize)
        const cheapest = Math.min(...all.map(cost))
        const found = orderQuantity({ demandPerYear, orderCost, keepingCost, packSize })
        expect(found.quantity % packSize).toBe(0)
        expectRelative(found.costPerYear, cheapest, 1e-12)
      }
  })

  test('nothing used, nothing ordered; nonsense refused', () => {
    expect(orderQuantity({ demandPerYear: 0, orderCost: 5, keepingCost: 1 }).quantity).toBe(0)
    expect(() => orderQuantity({ demandPerYear: 1, orderCost: 5, keepingCost: 0 })).toThrow(RangeError)
    expect(() => orderQuantity({ demandPerYear: 1, orderCost: 5, keepingCost: 1, packSize: 1.5 })).toThrow(RangeError)
  })
})

describe('reorderPoint of a distribution', () => {
  test('is the one of Poisson demand where the distribution is Poisson', () => {
    const probabilities = Array.from({ length: 60 }, (_, n) => poissonMass(n, 4))
    for (const serviceLevel of [0.5, 0.9, 0.95, 0.99]) {
      const byTable = reorderPoint({ probabilities, serviceLevel })
      const byMean = reorderPoint({ meanDemand: 4, leadTime: 1, serviceLevel })
      expect(byTable.reorderPoint).toBe(byMean.reorderPoint)
      expectRelative(byTable.achieved, byMean.achieved, 1e-9)
    }
  })

  test('a level met exactly is met, and chances must sum to 1', () => {
    expect(reorderPoint({ probabilities: [0.2, 0.75, 0.05], serviceLevel: 0.95 })).toMatchObject({ reorderPoint: 1 })
    expect(() => reorderPoint({ probabilities: [0.2, 0.7], serviceLevel: 0.95 })).toThrow(/sum to 1/)
  })
})

describe('needs at visits', () => {
  test('equal chances of one unit are binomial', () => {
    // Binomial(4, 0.3), from the formula: n choose k.
    const expected = [0.2401, 0.4116, 0.2646, 0.0756, 0.0081]
    const table = demandOfNeeds(Array.from({ length: 4 }, () => ({ chance: 0.3, quantity: 1 })))
    expect(table).toHaveLength(5)
    for (const [n, chance] of expected.entries()) expect(table[n]).toBeCloseTo(chance, 12)
  })

  test('a certain need is certain, a pair comes as a pair, half a litre takes a whole one', () => {
    expect(demandOfNeeds([{ chance: 1, quantity: 1 }])).toEqual([0, 1])
    expect(demandOfNeeds([{ chance: 0.25, quantity: 2 }])).toEqual([0.75, 0, 0.25])
    expect(demandOfNeeds([{ chance: 1, quantity: 0.5 }])).toEqual([0, 1])
    expect(demandOfNeeds([])).toEqual([1])
  })

  test('adding is convolution and keeps the mean', () => {
    const one = demandOfNeeds([{ chance: 0.4, quantity: 3 }])
    const more = { chance: 0.9, quantity: 1 }
    const other = demandOfNeeds([more])
    const mean = (table: readonly number[]) => table.reduce((sum, chance, n) => sum + n * chance, 0)
    expect(mean(addNeeds(one, [more]))).toBeCloseTo(mean(one) + mean(other), 12)
  })

  test('the later visit goes without when the earlier ones take what there is', () => {
    const sure = demandOfNeeds([{ chance: 1, quantity: 1 }])
    expect(chanceShort(sure, sure, 1)).toBe(1)
    expect(chanceShort(sure, sure, 2)).toBe(0)
    expect(chanceShort(demandOfNeeds([{ chance: 0.3, quantity: 1 }]), sure, 1)).toBeCloseTo(0.3, 12)
    expect(chanceShort([1], [1], 0)).toBe(0) // nothing needed, nothing short
  })

  test('the load of a van weighs a second trip against carrying in vain', () => {
    const table = demandOfNeeds(Array.from({ length: 5 }, () => ({ chance: 0.2, quantity: 1 })))
    const load = newsvendor({
      table: table.map((probability, demand) => ({ demand, probability })),
      shortage: 88,
      excess: 2.4,
    })
    // P(D ≤ 2) = 0.942, P(D ≤ 3) = 0.993 for Binomial(5, 0.2); the ratio is 0.973.
    expect(load.stock).toBe(3)
  })
})
