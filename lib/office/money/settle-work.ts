/** All that may be open, from the facts and what lines bill of them. Pure: the database's rows or a test's come in the same way. */
import { type Charge, type ChargeLine, chargeText } from './charge'
import type { HandToBill, MonthToBill, ToBill } from './draft-pieces'
import { type AgreedFee, agreementOn, MONTH_RULES, type MonthCharge, type MonthRule, monthCharge } from './month-charge'
import { newestBilling, settleCharge, settleHand } from './settle-charge'
import { type Billable, type PartToBill, partCharge, type VisitToBill, visitCharge } from './work-charge'

export type Agreed = AgreedFee & {
  /** The tank's own order, before the site's and the payer's. */
  purchaseOrder: string
}

export type WorkFacts = {
  months: readonly { tankId: string; period: string }[]
  agreementsOf: (tankId: string) => readonly Agreed[]
  payerOn: (tankId: string, clientId: string, day: string) => string
  /** How a payer is billed for what is done at a tank for a client. */
  billableOf: (tankId: string, clientId: string, payerId: string) => Omit<Billable, 'id'>
  visits: readonly VisitToBill[]
  parts: readonly PartToBill[]
  hands: readonly { charge: Charge; line: HandToBill }[]
  /** What lines bill and credits take back, by charge, oldest first. */
  lines: ReadonlyMap<string, readonly ChargeLine[]>
  /** The reasons of what is never billed, by charge. */
  waivers: ReadonlyMap<string, string>
  rule: MonthRule
}

/** Each charge with how it stands. A month keeps the rule by which it was billed. */
export function settleWork(facts: WorkFacts): ToBill[] {
  const linesOf = (charge: Parameters<typeof chargeText>[0]) => facts.lines.get(chargeText(charge)) ?? []
  const settle = (charge: Charge, by = settleCharge) =>
    by(charge, linesOf(charge), facts.waivers.get(chargeText(charge)) ?? null)
  const months = facts.months.map(({ tankId, period }): MonthToBill => {
    const agreements = facts.agreementsOf(tankId)
    const billedBy = newestBilling(linesOf({ kind: 'agreement_month', subjectId: tankId, period }))?.facts
    const month = monthCharge({
      tankId,
      month: period,
      agreements,
      payerOn: (day, clientId) => facts.payerOn(tankId, clientId, day),
      rule: MONTH_RULES.find((known) => known === billedBy) ?? facts.rule,
    })
    return { of: 'month', standing: settle(month), month, visits: [], billables: billablesOf(month, agreements, facts) }
  })
  return [
    ...months,
    ...facts.visits.map((visit): ToBill => ({ of: 'visit', standing: settle(visitCharge(visit)), visit })),
    ...facts.parts.map((part): ToBill => ({ of: 'part', standing: settle(partCharge(part)), part })),
    ...facts.hands.map(({ charge, line }): ToBill => ({ of: 'hand', standing: settle(charge, settleHand), line })),
  ]
}

/** A month is billed on the order of the agreement of the payer's last day in it. */
function billablesOf(month: MonthCharge, agreements: readonly Agreed[], { billableOf }: WorkFacts): Billable[] {
  return (month.shares ?? []).flatMap(({ payerId, to }) => {
    const agreement = agreementOn(agreements, to)
    if (!agreement) return []
    const billable = billableOf(month.subjectId, agreement.clientId, payerId)
    return [{ ...billable, id: month.subjectId, purchaseOrder: agreement.purchaseOrder || billable.purchaseOrder }]
  })
}
