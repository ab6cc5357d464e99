import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { daysInWords, periodInWords } from '@/lib/office/money/dates-in-words'
import {
  type AgreementToBill,
  type PartToBill,
  proposeDrafts,
  type UnbilledWork,
  type VisitToBill,
} from '@/lib/office/money/draft-lines'
import { billableMonths, lastDay } from '@/lib/office/money/months'
import { furtherSteps, hourlyRate } from '@/lib/office/money/time-rate'
import { invoiceTotals } from '@/lib/office/money/totals'

const tax = { category: 'S', ratePercent: '20', validFrom: null, validTo: null } as const
const shared = { payerId: 'school', placeName: 'Hall', tankId: 'tank', currency: 'GBP', purchaseOrder: '77120', tax }
const school = { id: 'school', name: 'Port Ellery School', needsPurchaseOrder: true }

const agreement: AgreementToBill = {
  ...shared,
  id: 'a1',
  startsOn: '2026-01-01',
  endsOn: null,
  billedThrough: '2026-10',
  monthlyFee: '180',
}
const routine = (id: string, date: string, more: Partial<VisitToBill> = {}): VisitToBill => ({
  ...shared,
  id,
  date,
  kind: 'routine',
  outcome: 'done',
  agreementId: 'a1',
  billNoAccess: false,
  subject: '',
  minutes: 45,
  outOfHours: false,
  rate: null,
  ...more,
})
const callOut = routine('c1', '2026-11-18', {
  kind: 'call_out',
  agreementId: null,
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
  unit: 'piece',
  unitPrice: '6.40',
}
const november: UnbilledWork = {
  through: '2026-11',
  payers: [school],
  agreements: [agreement],
  visits: [routine('v1', '2026-11-12'), routine('v2', '2026-11-26'), callOut],
  parts: [tube],
}

describe('the drawn invoice, from the work behind it', () => {
  const drafts = proposeDrafts(november)

  test('is one draft whose lines say what was done', () => {
    expect(drafts).toHaveLength(1)
    expect(drafts[0]?.lines.map(({ description, quantity, unitPrice }) => [description, quantity, unitPrice])).toEqual([
      ['Agreement, two visits (12 and 26 Nov)', '1', '180'],
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

  test('names each source once, so that issuing can mark it', () => {
    expect(drafts[0]?.lines.flatMap((line) => line.sources.map(({ id }) => id)).sort()).toEqual([
      'a1',
      'c1',
      'p1',
      'v1',
      'v2',
    ])
  })
})

describe('agreements', () => {
  test('two months not yet billed are a quantity of two, with the visits of both', () => {
    const visits = [routine('v0', '2026-10-30'), ...november.visits]
    const work = { ...november, agreements: [{ ...agreement, billedThrough: '2026-09' }], visits }
    expect(proposeDrafts(work)[0]?.lines[0]).toMatchObject({
      description: 'Agreement, three visits (30 Oct, 12 and 26 Nov)',
      quantity: '2',
      unit: 'months',
      serviceStart: '2026-10-01',
      serviceEnd: '2026-11-30',
    })
  })

  test('a month billed already is not billed again, and its visits cost nothing extra', () => {
    const work = { ...november, agreements: [{ ...agreement, billedThrough: '2026-11' }] }
    expect(proposeDrafts(work)[0]?.lines.map((line) => line.description)).toEqual([
      'Call-out 18 Nov, skimmer, 40 min',
      'Dosing tube',
    ])
    expect(proposeDrafts({ ...november, agreements: [], parts: [] })[0]?.lines).toHaveLength(1)
  })

  test('a month in part is asked about, not billed', () => {
    const work = { ...november, agreements: [{ ...agreement, billedThrough: null, startsOn: '2026-11-12' }] }
    const [draft] = proposeDrafts(work)
    expect(draft?.lines.some((line) => line.description.startsWith('Agreement'))).toBe(false)
    expect(draft?.problems).toMatchObject([{ code: 'part-month', blocking: false }])
  })

  test('no access is said, not counted as a visit', () => {
    const visits = [routine('v1', '2026-11-12'), routine('v2', '2026-11-26', { outcome: 'no_access' })]
    expect(proposeDrafts({ ...november, visits })[0]?.lines[0]?.description).toBe(
      'Agreement, one visit (12 Nov), no access 26 Nov',
    )
  })

  test('whole months only, by the calendar', () => {
    const open = { startsOn: '2026-01-15', endsOn: '2026-04-29', billedThrough: null, through: '2026-12' }
    expect(billableMonths(open)).toEqual({ months: ['2026-02', '2026-03'], partMonths: ['2026-01', '2026-04'] })
    expect(billableMonths({ ...open, endsOn: '2026-04-30', billedThrough: '2026-02' }).months).toEqual([
      '2026-03',
      '2026-04',
    ])
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
    const lines = proposeDrafts({ ...november, visits: [{ ...callOut, minutes: 95 }] })[0]?.lines ?? []
    expect(
      lines.filter((line) => line.sources[0]?.id === 'c1').map(({ quantity, unitPrice }) => [quantity, unitPrice]),
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
    const lines = proposeDrafts({ ...november, agreements: [], parts: [], visits })[0]?.lines
    expect(lines?.map((line) => line.description)).toEqual(['Call-out 18 Nov, skimmer, no access'])
  })

  test('no rate in the price list: a draft without a line, and the reason', () => {
    const [draft] = proposeDrafts({ ...november, agreements: [], parts: [], visits: [{ ...callOut, rate: null }] })
    expect(draft?.lines).toEqual([])
    expect(draft?.problems).toMatchObject([{ code: 'rate-missing', blocking: true }])
  })
})

describe('the check', () => {
  test('a missing purchase order and a missing tax rate are named in words', () => {
    const parts = [{ ...tube, purchaseOrder: null, tax: null }]
    const [draft] = proposeDrafts({ ...november, agreements: [], visits: [], parts })
    expect(draft?.problems.map((problem) => problem.message)).toEqual([
      'Port Ellery School wants a purchase order number on its invoices. Ask for it, then write it on the draft.',
      'No tax rate is set for “Dosing tube”. Choose one on the line or in the price list.',
    ])
  })

  test('a tax rate that ended before the service is out of date', () => {
    const parts = [{ ...tube, tax: { ...tax, validTo: '2026-10-31' } }]
    expect(proposeDrafts({ ...november, parts })[0]?.problems).toMatchObject([{ code: 'tax-out-of-date' }])
    const onTheDay = [{ ...tube, tax: { ...tax, validFrom: '2026-11-18', validTo: '2026-11-18' } }]
    expect(proposeDrafts({ ...november, parts: onTheDay })[0]?.problems).toEqual([])
  })

  test('another payer, currency or order is another draft; the order of the rows does not matter', () => {
    const parts = [
      tube,
      { ...tube, id: 'p2', payerId: 'cafe' },
      { ...tube, id: 'p3', currency: 'EUR' },
      { ...tube, id: 'p4', purchaseOrder: '88' },
    ]
    const drafts = proposeDrafts({ ...november, parts })
    expect(drafts).toHaveLength(4)
    expect(drafts.find(({ payerId }) => payerId === 'cafe')?.problems).toMatchObject([{ code: 'payer-unknown' }])
    fc.assert(
      fc.property(
        fc.shuffledSubarray(parts, { minLength: 4 }),
        fc.shuffledSubarray([...november.visits], { minLength: 3 }),
        (p, visits) => {
          expect(proposeDrafts({ ...november, parts: p, visits })).toEqual(drafts)
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
