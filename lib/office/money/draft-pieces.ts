/** What proposals are made of: things that can be billed, lines, and what stands in their way. Pure. */
import type { ChargeKey } from './charge'
import { dayAndShortMonth } from './dates-in-words'
import type { MonthCharge } from './month-charge'
import type { ChargeStanding } from './settle-charge'
import type { TaxTreatment } from './tax'
import type { Billable, PartToBill, PricedLine, VisitToBill } from './work-charge'

export type Payer = { id: string; name: string; needsPurchaseOrder: boolean }

/** A line that somebody wrote by hand, and that is open again. */
export type HandToBill = Billable & PricedLine & { serviceStart: string; serviceEnd: string }

export type MonthToBill = {
  of: 'month'
  standing: ChargeStanding
  month: MonthCharge
  /** How each payer is billed for this place. */
  billables: readonly Billable[]
  /** Visits that the fee covers in this month, to be named on the line. */
  visits: readonly VisitToBill[]
}
export type ToBill =
  | MonthToBill
  | { of: 'visit'; standing: ChargeStanding; visit: VisitToBill }
  | { of: 'part'; standing: ChargeStanding; part: PartToBill }
  | { of: 'hand'; standing: ChargeStanding; line: HandToBill }

/** All that may be open, and who its payers are. */
export type OpenWork = { payers: readonly Payer[]; items: readonly ToBill[] }

/** What a line settles of a charge. */
export type SettledPart = ChargeKey & { settlesMinor: number; dueMinor: number; facts: string }

export type ProposedLine = PricedLine & {
  /** What this line bills. */
  charges: SettledPart[]
  /** The agreement whose month it is. */
  agreementId: string | null
  placeName: string
  tankId: string | null
  tax: TaxTreatment | null
  /** Since when that treatment holds, where the price list says so. */
  taxValidFrom: string | null
  serviceStart: string
  serviceEnd: string
}

export type DraftProblem = {
  code: 'purchase-order-missing' | 'tax-missing' | 'tax-out-of-date' | 'rate-missing' | 'part-month' | 'payer-unknown'
  /** A part month is worth a look, the rest must be put right before the draft can be issued. */
  blocking: boolean
  message: string
}

export type DraftProposal = {
  payerId: string
  currency: string
  purchaseOrder: string | null
  lines: ProposedLine[]
  problems: DraftProblem[]
  serviceStart: string
  serviceEnd: string
}

/** A line on its way to a draft, in print order. */
export type Piece = { of: Billable; order: number; line: ProposedLine | null; problems: DraftProblem[] }

/** On the line of what is billed beside an earlier line. */
export const DIFFERENCE = 'difference to what was billed'

function taxFor(
  of: Billable,
  description: string,
  serviceEnd: string,
): { tax: TaxTreatment | null; problems: DraftProblem[] } {
  if (of.tax === null) {
    const message = `No tax rate is set for “${description}”. Choose one on the line or in the price list.`
    return { tax: null, problems: [{ code: 'tax-missing', blocking: true, message }] }
  }
  const { validFrom, validTo, ...tax } = of.tax
  const outOfDate = (validFrom !== null && serviceEnd < validFrom) || (validTo !== null && serviceEnd > validTo)
  if (!outOfDate) return { tax, problems: [] }
  const message = `The tax rate of “${description}” does not hold on ${dayAndShortMonth(serviceEnd)}. Choose the rate of that day.`
  return { tax, problems: [{ code: 'tax-out-of-date', blocking: true, message }] }
}

export function makePiece(
  of: Billable,
  order: number,
  parts: Omit<ProposedLine, 'tax' | 'taxValidFrom' | 'placeName' | 'tankId' | 'agreementId'> & {
    agreementId?: string | null
  },
): Piece {
  const { tax, problems } = taxFor(of, parts.description, parts.serviceEnd)
  const taxValidFrom = of.tax?.validFrom ?? null
  return {
    of,
    order,
    line: { agreementId: null, ...parts, placeName: of.placeName, tankId: of.tankId, tax, taxValidFrom },
    problems,
  }
}

/** What a line settles of a charge, with what was due of it at the time. */
export const settled = ({ charge, payers }: ChargeStanding, settlesMinor: number): SettledPart => ({
  kind: charge.kind,
  subjectId: charge.subjectId,
  period: charge.period,
  facts: charge.facts,
  settlesMinor,
  dueMinor: payers.reduce((sum, { dueMinor }) => sum + dueMinor, 0),
})

/** One draft for each payer, currency and order. */
export const groupKey = (of: Billable) => JSON.stringify([of.payerId, of.currency, of.purchaseOrder ?? ''])
