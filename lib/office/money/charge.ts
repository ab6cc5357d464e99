/**
 * What can be billed: a tank's month under agreement, a visit, a part, a line written by hand. A charge is what it is whatever
 * becomes of the agreement or the invoice; stored are only decisions about it: lines that bill it, credits, "never bill".
 */

export const CHARGE_KINDS = ['visit', 'part', 'agreement_month', 'hand'] as const
export type ChargeKind = (typeof CHARGE_KINDS)[number]

/** Subject: the tank (of a month), the visit, the first row of a part's chain of corrections, the line written by hand. */
export type ChargeKey = {
  kind: ChargeKind
  subjectId: string
  /** "2026-11" for a month, else empty. */
  period: string
}

/** A key as one text, to look it up by. */
export const chargeText = ({ kind, subjectId, period }: ChargeKey): string => `${kind} ${subjectId} ${period}`

/** A charge read back from its text. Errors: RangeError when it is none. */
export function readChargeText(text: string): ChargeKey {
  const [named, subjectId = '', period = ''] = text.split(' ')
  const kind = CHARGE_KINDS.find((known) => known === named)
  if (!kind || subjectId === '') throw new RangeError(`not a charge: "${text}"`)
  return { kind, subjectId, period }
}

/** What one payer owes of a charge, and the days of it that are theirs, ISO and both ends included. */
export type ChargeShare = { payerId: string; dueMinor: number; from: string; to: string }

/** A charge as the facts of today say it. */
export type Charge = ChargeKey & {
  /** What the amount rests on, as text: billed once, it stands as long as this says the same. */
  facts: string
  /** Who pays how much, in the order of their days; null where the price list has no price for it. */
  shares: ChargeShare[] | null
}

/** What a line bills of a charge, or (negative) what a credit note's line takes back of it. Drafts of invoices count. */
export type ChargeLine = {
  payerId: string
  /** The part of the line's net that is this charge's. */
  netMinor: number
  /** How much of what was due is settled by it. */
  settlesMinor: number
  /** What was due of the whole charge when the line was written, and on what facts. */
  dueMinor: number
  facts: string
  /** Where it stands. */
  invoiceId: string
  /** Null for a draft. */
  invoiceNumber: string | null
}
