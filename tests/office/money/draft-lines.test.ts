import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { daysInWords, periodInWords } from '@/lib/office/money/dates-in-words'
import { proposeDrafts } from '@/lib/office/money/draft-lines'
import { lastDay } from '@/lib/office/money/months'
import { furtherSteps, hourlyRate } from '@/lib/office/money/time-rate'
import { invoiceTotals } from '@/lib/office/money/totals'
import { unbilledGroups } from '@/lib/office/money/unbilled-groups'
import type { PartToBill, VisitToBill } from '@/lib/office/money/work-charge'
import { type MemoryFacts, openWork } from './open-work'

const tax = { category: 'S', ratePercent: '20', validFrom: null, validTo: null } as const
const shared = { payerId: 'school', placeName: 'Hall', tankId: 'tank', currency: 'GBP', purchaseOrder: '77120', tax }
const school = { id: 'school', name: 'Port Ellery School', needsPurchaseOrder: true }

const agreement = {
  agreementId: 'a1',
  tankId: 'tank',
  clientId: 'school',
  startsOn: '2026-11-01',
  endsOn: null,
  monthlyFeeMinor: 18_000,
  purchaseOrder: '',
}
const routine = (id: string, date: string, more: Partial<VisitToBill> = {}): VisitToBill => ({
  ...shared,
  id,
  date,
  kind: 'routine',
  outcome: 'done',
  hasFee: true,
  billNoAccess: false,
  subject: '',
  minutes: 45,
  outOfHours: false,
  rate: null,
  ...more,
})
const callOut = routine('c1', '2026-11-18', {
  kind: 'call_out',
  subject: 'skimmer',
  minutes: 40,
  rate: hourlyRate('55', {}),
})
const tube: PartToBill = {
  ...shared,
  id: 'p1',
  date: '2026-11-18',
  name: 'Dosing tube',
  quantity: '2',
  billable: true,
  priceItemId: null,
  unit: 'piece',
  unitPrice: '6.40',
}
const november: MemoryFacts = {
  through: '2026-11',
  payers: [school],
  place: shared,
  agreements: [agreement],
  visits: [routine('v1', '2026-11-12'), routine('v2', '2026-11-26'), callOut],
  parts: [tube],
}

const draftsOf = (facts: MemoryFacts) => proposeDrafts(openWork(facts))

describe('the drawn invoice, from the work behind it', () => {
  const drafts = draftsOf(november)

  test('is one draft whose lines say what was done', () => {
    expect(drafts).toHaveLength(1)
    expect(drafts[0]?.lines.map(({ description, quantity, unitPrice }) => [description, quantity, unitPrice])).toEqual([
      ['Agreement, two visits (12 and 26 Nov)', '1', '180.00'],
      ['Call-out 18 Nov, skimmer, 40 min', '1', '55'],
      ['Dosing tube', '2', '6.40'],
    ])
    expect(drafts[0]).toMatchObject({
      problems: [],
      serviceStart: '2026-11-01',
      serviceEnd: '2026-11-30',
      purchaseOrder: '77120',
    })
  })

  test('adds up to what is drawn: 247.80, 49.56, 297.36', () => {
    const lines = (drafts[0]?.lines ?? []).flatMap((line) => (line.tax ? [{ ...line, tax: line.tax }] : []))
    expect(invoiceTotals({ currency: 'GBP', lines })).toMatchObject({
      netMinor: 24780,
      taxMinor: 4956,
      grossMinor: 29736,
    })
  })

  test('names each charge once', () => {
    expect(drafts[0]?.lines.flatMap((line) => line.charges.map(({ subjectId }) => subjectId)).sort()).toEqual([
      'c1',
      'p1',
      'tank',
    ])
  })
})

test('a long list of unbilled work names its first lines, and counts and adds up all of them', () => {
  const parts = [1, 2, 3, 4, 5].map((number) => ({ ...tube, id: `p${number}`, name: `Tube ${number}` }))
  const work = openWork({ ...november, parts })
  const [drawn] = proposeDrafts(work)
  const [group] = unbilledGroups(work)
  expect(drawn?.lines).toHaveLength(7)
  expect(group?.lines.map(({ description }) => description)).toEqual(
    drawn?.lines.slice(0, 4).map(({ description }) => description),
  )
  expect([group?.lineCount, group?.netMinor]).toEqual([7, 18_000 + 5_500 + 5 * 1_280])
  const [short] = unbilledGroups(openWork(november))
  expect([short?.lines.length, short?.lineCount, short?.netMinor]).toEqual([3, 3, 24_780])
})

const billedFor = (period: string, minor: number) => ({
  ...{ netMinor: minor, settlesMinor: minor, dueMinor: minor, facts: 'pro_rata' },
  ...{ payerId: 'school', invoiceId: `i ${period}`, invoiceNumber: 'INV-1' },
})

describe('agreements', () => {
  test('two months not yet billed are a quantity of two, with the visits of both', () => {
    const visits = [routine('v0', '2026-10-30'), ...november.visits]
    const work = { ...november, agreements: [{ ...agreement, startsOn: '2026-10-01' }], visits }
    expect(draftsOf(work)[0]?.lines[0]).toMatchObject({
      description: 'Agreement, three visits (30 Oct, 12 and 26 Nov)',
      quantity: '2',
      unit: 'months',
      serviceStart: '2026-10-01',
      serviceEnd: '2026-11-30',
    })
  })

  test('a month billed already is not billed again, and its visits cost nothing extra', () => {
    const billed = { netMinor: 18_000, settlesMinor: 18_000, dueMinor: 18_000, facts: 'full' }
    const line = { ...billed, payerId: 'school', invoiceId: 'i1', invoiceNumber: 'INV-1' }
    const work = { ...november, lines: new Map([['agreement_month tank 2026-11', [line]]]) }
    expect(draftsOf(work)[0]?.lines.map((one) => one.description)).toEqual([
      'Call-out 18 Nov, skimmer, 40 min',
      'Dosing tube',
    ])
    expect(draftsOf({ ...november, agreements: [], parts: [] })[0]?.lines).toHaveLength(1)
  })

  test('a month in part is billed by the business’s rule, and said so', () => {
    const agreements = [{ ...agreement, startsOn: '2026-11-12' }]
    const part = (rule: 'full' | 'pro_rata') => draftsOf({ ...november, agreements, visits: [], parts: [], rule })[0]
    expect(part('full')?.lines).toMatchObject([
      { description: 'Agreement, 12–30 November 2026, no visits', unitPrice: '180.00', serviceStart: '2026-11-12' },
    ])
    // 19 of 30 days: 180 × 19 / 30 = 114, by hand
    expect(part('pro_rata')?.lines).toMatchObject([
      {
        description: 'Agreement, 12–30 November 2026, 19 days at £180.00 a month, no visits',
        ...{ quantity: '1', unit: '', unitPrice: '114.00', serviceEnd: '2026-11-30' },
      },
    ])
    expect(part('full')?.problems).toMatchObject([{ code: 'part-month', blocking: false }])
    expect(part('full')?.problems[0]?.message).toBe(
      'The agreement at Hall covers 19 of the 30 days of November 2026. The month is billed whole, as set under Prices.',
    )
  })

  test('a month of two fees that is billed by days says the days of each', () => {
    const agreements = [
      { ...agreement, agreementId: 'a1', startsOn: '2026-10-01', endsOn: '2026-11-10', monthlyFeeMinor: 21_000 },
      { ...agreement, agreementId: 'a2', startsOn: '2026-11-11', endsOn: null, monthlyFeeMinor: 25_200 },
    ]
    const lines = new Map([['agreement_month tank 2026-10', [billedFor('2026-10', 21_000)]]])
    const work = { ...november, agreements, visits: [], parts: [], rule: 'pro_rata' as const, lines }
    // 210 × 10 / 30 + 252 × 20 / 30 = 70 + 168 = 238, by hand
    expect(draftsOf(work)[0]?.lines).toMatchObject([
      {
        description: 'Agreement, November 2026, 10 days at £210.00, 20 days at £252.00 a month, no visits',
        ...{ quantity: '1', unit: '', unitPrice: '238.00' },
      },
    ])
    // The month before is whole: it is a month.
    expect(draftsOf({ ...work, lines: new Map() })[0]?.lines[0]).toMatchObject({ unit: 'month', unitPrice: '210.00' })
  })

  test('no access is said, not counted as a visit', () => {
    const visits = [routine('v1', '2026-11-12'), routine('v2', '2026-11-26', { outcome: 'no_access' })]
    expect(draftsOf({ ...november, visits })[0]?.lines[0]?.description).toBe(
      'Agreement, one visit (12 Nov), no access 26 Nov',
    )
  })

  test('the last day of a month, by the calendar', () => {
    expect([lastDay('2028-02'), lastDay('2026-02'), lastDay('2026-12')]).toEqual([
      '2028-02-29',
      '2026-02-28',
      '2026-12-31',
    ])
  })
})

describe('visits on top of an agreement', () => {
  test('time after the first hour is billed by the quarter begun', () => {
    const rate = hourlyRate('55', {})
    expect(rate).toEqual({ firstMinutes: 60, firstPrice: '55', stepMinutes: 15, stepPrice: '13.75' })
    expect([1, 60, 61, 75, 76, 95].map((minutes) => furtherSteps(minutes, rate))).toEqual([0, 0, 1, 1, 2, 3])
    const lines = draftsOf({ ...november, visits: [{ ...callOut, minutes: 95 }] })[0]?.lines ?? []
    expect(
      lines
        .filter((line) => line.charges[0]?.subjectId === 'c1')
        .map(({ quantity, unitPrice }) => [quantity, unitPrice]),
    ).toEqual([
      ['1', '55'],
      ['3', '13.75'],
    ])
  })

  test('a return check of our own work is free; a refused visit is billed only where agreed', () => {
    const visits = [
      { ...callOut, id: 'r', kind: 'return_check' as const },
      { ...callOut, id: 'n', outcome: 'no_access' as const },
      { ...callOut, id: 'y', outcome: 'no_access' as const, billNoAccess: true },
    ]
    const lines = draftsOf({ ...november, agreements: [], parts: [], visits })[0]?.lines
    expect(lines?.map((line) => line.description)).toEqual(['Call-out 18 Nov, skimmer, no access'])
  })

  test('no rate in the price list: a draft without a line, and the reason', () => {
    const [draft] = draftsOf({ ...november, agreements: [], parts: [], visits: [{ ...callOut, rate: null }] })
    expect(draft?.lines).toEqual([])
    expect(draft?.problems).toMatchObject([{ code: 'rate-missing', blocking: true }])
  })
})

describe('the check', () => {
  test('a missing purchase order and a missing tax rate are named in words', () => {
    const parts = [{ ...tube, purchaseOrder: null, tax: null }]
    const [draft] = draftsOf({ ...november, agreements: [], visits: [], parts })
    expect(draft?.problems.map((problem) => problem.message)).toEqual([
      'Port Ellery School wants a purchase order number on its invoices. Ask for it, then write it on the draft.',
      'No tax rate is set for “Dosing tube”. Choose one on the line or in the price list.',
    ])
  })

  test('a tax rate that ended before the service is out of date', () => {
    const parts = [{ ...tube, tax: { ...tax, validTo: '2026-10-31' } }]
    expect(draftsOf({ ...november, parts })[0]?.problems).toMatchObject([{ code: 'tax-out-of-date' }])
    const onTheDay = [{ ...tube, tax: { ...tax, validFrom: '2026-11-18', validTo: '2026-11-18' } }]
    expect(draftsOf({ ...november, parts: onTheDay })[0]?.problems).toEqual([])
  })

  test('another payer, currency or order is another draft; the order of the rows does not matter', () => {
    const parts = [
      tube,
      { ...tube, id: 'p2', payerId: 'cafe' },
      { ...tube, id: 'p3', currency: 'EUR' },
      { ...tube, id: 'p4', purchaseOrder: '88' },
    ]
    const drafts = draftsOf({ ...november, parts })
    expect(drafts).toHaveLength(4)
    expect(drafts.find(({ payerId }) => payerId === 'cafe')?.problems).toMatchObject([{ code: 'payer-unknown' }])
    fc.assert(
      fc.property(
        fc.shuffledSubarray(parts, { minLength: 4 }),
        fc.shuffledSubarray([...november.visits], { minLength: 3 }),
        (p, visits) => {
          expect(draftsOf({ ...november, parts: p, visits })).toEqual(drafts)
        },
      ),
      { numRuns: 30 },
    )
  })
})

test('days and periods in words', () => {
  expect(daysInWords(['2026-11-26', '2026-11-12'])).toBe('12 and 26 Nov')
  expect(daysInWords(['2026-09-02', '2026-09-16', '2026-10-01'])).toBe('2, 16 Sep and 1 Oct')
  expect(periodInWords('2026-10-28', '2026-11-04')).toBe('28 October – 4 November 2026')
  expect(periodInWords('2026-12-28', '2027-01-04')).toBe('28 December 2026 – 4 January 2027')
  expect(() => periodInWords('2026-02-30', '2026-03-01')).toThrow(RangeError)
})
