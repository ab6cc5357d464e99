import { describe, expect, test } from 'vitest'
import { adviseOn, keepInWords, levelInWords } from '@/lib/office/parts/advice'
import { chanceBy, type DuePart, sourceOf } from '@/lib/office/parts/due-parts'
import { fitsOf } from '@/lib/office/parts/fits'
import { loadList } from '@/lib/office/parts/load'
import { needsInOrder, type PartNeed, type VisitWithNeeds } from '@/lib/office/parts/needs'
import { findShortages } from '@/lib/office/parts/shortages'
import { demandForecast, reorderPoint } from '@/lib/science'
import { incompleteGamma } from '@/lib/science/special-functions'

const TODAY = 20_000
const device = (over: Partial<DuePart> = {}): DuePart => ({
  ...{ partId: 'lamp', quantity: 1, equipmentId: 'uv', tankId: 'hall', tankName: 'Hall', siteName: 'School' },
  ...{ deviceLabel: 'UV', careTask: 'uv-steriliser/replace-lamp', taskName: 'Fit a new lamp' },
  failureMode: 'uv-steriliser/lamp-past-hours',
  life: { shape: 3, scale: 400 },
  lifeSpread: { group: 'lamps', shared: 0, own: 0 },
  isAnnounced: false,
  visitEveryDays: 14,
  ...{
    ageDays: 200,
    okAgeDays: 180,
    renewAtDays: 364,
    met: null,
    isOpen: false,
    isUnseen: false,
    dueDay: TODAY + 164,
    secondTripMinor: 8800,
  },
  ...over,
})
const need = (over: Partial<PartNeed> = {}): PartNeed => ({
  ...{ partId: 'lamp', quantity: 1, chance: 1, because: 'due', equipmentId: 'uv', deviceLabel: 'UV' },
  ...{ careTask: 'uv-steriliser/replace-lamp', taskName: 'Fit a new lamp', secondTripMinor: 8800 },
  ...over,
})
const visit = (visitId: string, on: string, needs: PartNeed[]): VisitWithNeeds => ({
  ...{ visitId, on, needs, tankId: visitId, tankName: visitId, siteName: 'School' },
  ...{ technicianId: 'priya', technicianName: 'Priya' },
})

describe('what announces itself', () => {
  // By hand: Weibull of shape 3 with a median of 208 weeks has the scale 1,645 days; 20 · (1 − e^((1400/1645)³ − (1421/1645)³)) = 0.55.
  const scale = (208 * 7) / Math.LN2 ** (1 / 3)
  const pump = device({
    life: { shape: 3, scale },
    ageDays: 1400,
    okAgeDays: 1400,
    renewAtDays: Infinity,
    dueDay: null,
  })
  const forecast = (due: DuePart, days: number) =>
    demandForecast(
      Array.from({ length: 20 }, () => sourceOf(due, 28)),
      days,
      3,
      { runs: 20_000 },
    )
  test('twenty old silent pumps: 0.55 expected in three weeks, and two are enough 19 times in 20', () => {
    const { mean, probabilities } = forecast({ ...pump, isAnnounced: true }, 21)
    expect(Math.abs(mean - 0.55)).toBeLessThan(0.03)
    expect(reorderPoint({ probabilities, serviceLevel: 0.95 }).reorderPoint).toBe(2)
  })
  test('what does not announce itself is met at the next visit only', () => {
    expect(forecast(pump, 21).mean).toBe(0)
    expect(forecast(pump, 28).mean).toBeGreaterThan(0.5)
  })
  test('a life that is less well known asks for more on the shelf, and more for a kind as a whole than for each alone', () => {
    const sd = (spread: { shared: number; own: number }) =>
      Math.sqrt(forecast({ ...pump, isAnnounced: true, lifeSpread: { group: 'pumps', ...spread } }, 120).variance)
    const known = sd({ shared: 0, own: 0 })
    expect(sd({ shared: 0, own: 0.3 })).toBeLessThan(1.15 * known)
    expect(sd({ shared: 0.3, own: 0 })).toBeGreaterThan(1.3 * known)
  })
})

describe('a device whose age nobody knows', () => {
  const met = device({
    met: { sinceDays: 100, fineDays: 80 },
    renewAtDays: Infinity,
    dueDay: null,
    lifeSpread: { group: 'l', shared: 0.2, own: 0.3 },
  })
  test('is what is left of a life met by chance, and the forecast says the same as the list of a visit', () => {
    const { probabilities } = demandForecast([{ ...sourceOf(met, 14), notBefore: 14 }], 14, 6, { runs: 40_000 })
    expect(1 - (probabilities[0] ?? 0)).toBeCloseTo(chanceBy(met, 14), 2)
    // Without doubt about the life: 1 − Q(1/3, H(114)) / Q(1/3, H(80)) for Weibull(3, 400).
    const left = (days: number) => incompleteGamma(1 / 3, (days / 400) ** 3).upper
    const sure = { ...met, lifeSpread: { group: 'l', shared: 0, own: 0 } }
    expect(chanceBy(sure, 14)).toBeCloseTo(1 - left(114) / left(80), 10)
  })
})

describe('what is renewed often', () => {
  test('is needed again at each visit: ten socks for ten tanks last one week and not three', () => {
    const socks = Array.from({ length: 10 }, (_, n) =>
      device({ ...{ partId: 'sock', tankId: `t${n}`, ageDays: 7, okAgeDays: 7, renewAtDays: 7, dueDay: TODAY + 1 } }),
    )
    const visits = [1, 8, 15].flatMap((inDays) =>
      socks.map(({ tankId }) => ({ id: `${tankId} ${inDays}`, tankId, day: TODAY + inDays })),
    )
    const needs = needsInOrder(visits, socks, TODAY)
    expect(visits.map(({ id }) => needs.get(id)?.[0]?.chance)).toEqual(visits.map(() => 1))
  })
  test('by its life: renewed at the first visit, needed at the second with the chance of a new one', () => {
    const due = device({ dueDay: TODAY, renewAtDays: Number.POSITIVE_INFINITY, life: { shape: 2, scale: 30 } })
    const visits = [0, 14, 28].map((inDays) => ({ id: `${inDays}`, tankId: 'hall', day: TODAY + inDays }))
    const needs = needsInOrder(visits, [due], TODAY)
    const ends = (days: number) => 1 - Math.exp(-((days / 30) ** 2))
    expect(needs.get('14')?.[0]?.chance).toBeCloseTo(ends(14), 12)
    // By hand: the first one again, or the one that was put in after 14 days.
    expect(needs.get('28')?.[0]?.chance).toBeCloseTo(ends(28) - ends(14) + ends(14) * ends(14), 12)
  })
})

describe('what a visit may use', () => {
  test('a need found at the first visit is not needed again at the second', () => {
    const due = device({ ageDays: 380, okAgeDays: 360, dueDay: null, renewAtDays: Number.POSITIVE_INFINITY })
    const visits = [
      { id: 'first', tankId: 'hall', day: TODAY + 7 },
      { id: 'second', tankId: 'hall', day: TODAY + 21 },
    ]
    const needs = needsInOrder(visits, [due], TODAY)
    const [one, two] = [needs.get('first')?.[0]?.chance ?? 0, needs.get('second')?.[0]?.chance ?? 0]
    // By hand: 1 − S(387)/S(360) and 1 − S(401)/S(360) for Weibull(3, 400).
    const cumulative = (age: number) => 1 - Math.exp((360 / 400) ** 3 - (age / 400) ** 3)
    expect(one).toBeCloseTo(cumulative(387), 12)
    // What was put in at the first visit ends within two weeks in 4 of 100,000.
    expect(one + two).toBeCloseTo(cumulative(401), 4)
  })

  test('what is due, or will be within two weeks after the visit, is wanted there for sure; what was found open too', () => {
    const at = (over: Partial<DuePart>) =>
      needsInOrder([{ id: 'v', tankId: 'hall', day: TODAY + 5 }], [device(over)], TODAY).get('v')?.[0]
    expect(at({ dueDay: TODAY - 30 })).toMatchObject({ because: 'due', chance: 1 })
    expect(at({ dueDay: TODAY + 19 })).toMatchObject({ because: 'due', chance: 1 })
    expect(at({ dueDay: TODAY + 20 })).toMatchObject({ because: 'chance' })
    expect(at({ dueDay: null, isOpen: true })).toMatchObject({ because: 'open', chance: 1 })
    expect(at({ dueDay: null, life: { shape: 3, scale: 1e5 } })).toBeUndefined() // too little a chance for a line
  })

  test('what is said of one device goes before what is said of its class', () => {
    const common = { equipmentClass: 'uv-steriliser', careTask: 'uv-steriliser/replace-lamp', quantity: 1 }
    const fits = [
      { ...common, id: '1', partId: 'lamp 18', equipmentId: null },
      { ...common, id: '2', partId: 'lamp 36', equipmentId: 'big' },
    ]
    const parts = (equipmentId: string) =>
      fitsOf(fits, { equipmentId, careTask: common.careTask }).map((fit) => fit.partId)
    expect(parts('small')).toEqual(['lamp 18'])
    expect(parts('big')).toEqual(['lamp 36'])
    expect(fitsOf(fits, { equipmentId: 'small', careTask: 'uv-steriliser/clean-sleeve' })).toEqual([])
  })
})

describe('shortages', () => {
  const three = [
    visit('a', '2026-11-26', [need()]),
    visit('b', '2026-11-30', [need()]),
    visit('c', '2026-12-02', [need()]),
  ]
  test('the third of three visits goes without when two are there', () => {
    expect(findShortages(three, () => ({ onHand: 2, coming: [] })).map((short) => short.visit.visitId)).toEqual(['c'])
  })
  test('what comes before the visit helps, what comes on its day does not', () => {
    const supply = (on: string) => () => ({ onHand: 2, coming: [{ on, quantity: 1 }] })
    expect(findShortages(three, supply('2026-12-01'))).toEqual([])
    expect(findShortages(three, supply('2026-12-02'))).toHaveLength(1)
  })
  test('a moved visit is read anew: later than the arrival it lacks nothing', () => {
    const moved = [three[0], three[1], { ...visit('c', '2026-12-04', [need()]) }].flatMap((one) => one ?? [])
    expect(findShortages(moved, () => ({ onHand: 2, coming: [{ on: '2026-12-02', quantity: 1 }] }))).toEqual([])
  })
  test('a small chance is no warning, below zero on paper counts as none', () => {
    expect(
      findShortages([visit('a', '2026-11-26', [need({ chance: 0.4, because: 'chance' })])], () => ({
        onHand: 0,
        coming: [],
      })),
    ).toEqual([])
    expect(findShortages(three, () => ({ onHand: -4, coming: [] }))).toHaveLength(3)
  })
})

describe('the load of a van', () => {
  const others = [
    { name: 'Van 2', quantity: 1 },
    { name: 'Van 3', quantity: -1 },
  ]
  const load = (visits: VisitWithNeeds[], onVan: number, onShelf: number) =>
    loadList({
      ...{ visits, onVan: () => onVan, onShelf: () => onShelf, inOtherVans: () => others },
      ...{ costMinor: () => 2100, days: 1 },
    })
  test('what is sure is taken along; the van has one, the shelf one, one is missing', () => {
    const visits = ['a', 'b', 'c'].map((id) => visit(id, '2026-11-26', [need()]))
    expect(load(visits, 1, 1)).toMatchObject([{ take: 3, sure: 3, fromShelf: 1, missing: 1, onVan: 1 }])
  })
  test('a van below zero on paper is met from the shelf first, then from a van that has one', () => {
    const one = [visit('a', '2026-11-26', [need()])]
    expect(load(one, -1, 1)).toMatchObject([{ take: 1, onVan: -1, fromShelf: 1, missing: 0, elsewhere: [] }])
    expect(load(one, -1, 0)).toMatchObject([{ missing: 1, elsewhere: [{ name: 'Van 2', quantity: 1 }] }])
  })
  test('a chance of one in thirty is carried, one in a hundred is not: a second trip costs 37 times as much', () => {
    const chance = (share: number) =>
      load([visit('a', '2026-11-26', [need({ chance: share, because: 'chance' })])], 0, 5)
    expect(chance(1 / 30)).toMatchObject([{ take: 1, fromShelf: 1 }])
    expect(chance(1 / 100)).toEqual([])
  })
})

describe('what to keep', () => {
  const input = {
    leadTimeDays: 10,
    serviceLevel: 0.95,
    onHand: 0,
    onOrder: 0,
    packSize: 1,
    costMinor: 0,
    orderCostMinor: 0,
  }
  test('lasts in at least so many of the simulated waits, and one fewer would not', () => {
    const sources = Array.from({ length: 20 }, (_, n) => sourceOf(device({ ageDays: n * 18, okAgeDays: n * 18 }), 3))
    const { keepAtLeast, forecast, orderNow } = adviseOn({ ...input, sources })
    const upTo = (n: number) => forecast.probabilities.slice(0, n + 1).reduce((sum, chance) => sum + chance, 0)
    expect(upTo(keepAtLeast)).toBeGreaterThanOrEqual(0.95)
    expect(upTo(keepAtLeast - 1)).toBeLessThan(0.95)
    expect(orderNow).toBe(keepAtLeast)
  })
  test('enough is there: nothing to order; on its way counts; packs are filled; the cheapest quantity where it is more', () => {
    const sources = [sourceOf(device({ isOpen: true }), 0), sourceOf(device({ isOpen: true }), 5)]
    expect(adviseOn({ ...input, sources, onHand: 2 })).toMatchObject({ keepAtLeast: 2, orderNow: 0 })
    expect(adviseOn({ ...input, sources, onHand: 1, onOrder: 1 })).toMatchObject({ orderNow: 0 })
    expect(adviseOn({ ...input, sources, packSize: 5 })).toMatchObject({ orderNow: 5 })
    const many = Array.from({ length: 40 }, () => sourceOf(device({ isOpen: true }), 0))
    const costs = { costMinor: 420, orderCostMinor: 650 }
    const { cheapest, orderNow, keepAtLeast } = adviseOn({ ...input, ...costs, sources: many, onHand: 39 })
    expect([keepAtLeast, orderNow]).toEqual([40, cheapest])
    // By hand: 40 lamps renewed about every ∫₀³⁶⁴S ≈ 296 days: 49 a year; √(2 · 49 · 650 / (0.2 · 420)) ≈ 27.6.
    expect(cheapest).toBeGreaterThanOrEqual(26)
    expect(cheapest).toBeLessThanOrEqual(29)
  })
  test('no device and no use: nothing has to be kept', () => {
    const advice = adviseOn({ ...input, sources: [] })
    expect(advice).toMatchObject({ keepAtLeast: 0, orderNow: 0, perYear: 0 })
    expect(keepInWords(advice, { ...input, devices: 0 })).toMatch(/none has to be kept/)
  })
  test('the level is said as people say it', () => {
    expect([0.95, 0.9, 0.99, 0.975, 0.5, 0.999].map(levelInWords)).toEqual([
      '19 times in 20',
      '9 times in 10',
      '99 times in 100',
      '39 times in 40',
      '1 time in 2',
      '999 times in 1,000',
    ])
    const advice = adviseOn({ ...input, sources: [sourceOf(device({ isOpen: true }), 0)] })
    expect(keepInWords(advice, { ...input, devices: 1 })).toBe(
      'Keep at least 1: enough 19 times in 20 while waiting 10 days for the supplier and a week until you look again.',
    )
  })
  test('what is open is needed at the next visit and not before', () => {
    const open = sourceOf(device({ isOpen: true, life: { shape: 0.8, scale: 300 } }), 12)
    expect(demandForecast([open], 11, 1).probabilities[0]).toBe(1)
    expect(demandForecast([open], 12, 1).probabilities[0]).toBe(0)
  })
  test('the chance of a need starts at the last fine look', () => {
    expect(chanceBy(device({ okAgeDays: 200 }), 0)).toBe(0)
    expect(chanceBy(device({ okAgeDays: 180 }), 0)).toBeCloseTo(1 - Math.exp(0.45 ** 3 - 0.5 ** 3), 12)
  })
})
