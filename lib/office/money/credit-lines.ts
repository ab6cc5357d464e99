/**
 * What a credit note takes back of a line, and what becomes of the charges behind it. Pure; minor units.
 *
 * A line is credited by quantity or by amount, never for more than is left of it. Whoever takes the last of its quantity takes all that
 * is left of its money, so that every penny can be cleared (0.5 and 0.5 of £10.01 are £5.01 and £5.00).
 */
import type { ChargeKey } from './charge'
import { minorToDecimalText } from './currency'
import { exactDecimal } from './tax'
import { lineNetMinor } from './totals'

export const CREDIT_EFFECTS = ['reopen', 'waive'] as const
export type CreditEffect = (typeof CREDIT_EFFECTS)[number]

type CreditableLine = {
  quantity: string
  unit: string
  unitPrice: string
  netMinor: number
  currency: string
  /** What other credit notes take back of it, drafts counted. */
  credits: readonly { quantity: string; unitPrice: string; netMinor: number }[]
}

/** How much of a quantity, or how much money; amounts without a sign. */
export type CreditAsked = { quantity: string } | { amountMinor: number }

export type CreditedLine = { quantity: string; unit: string; unitPrice: string; netMinor: number }

const number = (text: string) => exactDecimal(text, 'quantity')
const PLAIN = { category: 'Z', ratePercent: '0' } as const // nets do not depend on the tax

/** What is left to credit of a line, without its sign. */
export function leftOfLine({ quantity, unitPrice, netMinor, credits }: CreditableLine) {
  const byQuantity = credits.filter((credit) => number(credit.unitPrice).equals(number(unitPrice)))
  const leftMinor = credits.reduce((left, credit) => left - Math.abs(credit.netMinor), Math.abs(netMinor))
  const leftQuantity = byQuantity.reduce(
    (left, credit) => left.minus(number(credit.quantity).abs()),
    number(quantity).abs(),
  )
  return { leftMinor, leftQuantity: leftMinor === 0 && netMinor !== 0 ? number('0') : leftQuantity }
}

/** The line of the credit note; null where more is asked than is left. */
export function creditLine(line: CreditableLine, asked: CreditAsked): CreditedLine | null {
  const { leftMinor, leftQuantity } = leftOfLine(line)
  const sign = line.quantity.startsWith('-') ? '-' : ''
  if ('amountMinor' in asked) {
    if (asked.amountMinor > leftMinor || asked.amountMinor <= 0) return null
    return asAmount(line, asked.amountMinor)
  }
  const quantity = number(asked.quantity)
  if (quantity.greaterThan(leftQuantity)) return null
  const priced = { quantity: `${sign}${quantity.toFixed()}`, unit: line.unit, unitPrice: line.unitPrice }
  const byPrice = lineNetMinor({ ...priced, tax: PLAIN }, line.currency)
  const takesRest = quantity.equals(leftQuantity)
  if (!takesRest && Math.abs(byPrice) > leftMinor) return null
  if (!takesRest || Math.abs(byPrice) === leftMinor) return { ...priced, netMinor: byPrice }
  return asAmount(line, leftMinor)
}

/** An amount as a line of one; it keeps the sign that the line's money has. */
function asAmount({ netMinor, currency }: CreditableLine, amountMinor: number): CreditedLine {
  const signed = netMinor < 0 ? -amountMinor : amountMinor
  return { quantity: '1', unit: '', unitPrice: minorToDecimalText(signed, currency), netMinor: signed }
}

export type BilledPart = ChargeKey & { netMinor: number; settlesMinor: number; dueMinor: number; facts: string }

/** Half up on the absolute value, in whole numbers. */
function portion(of: number, taken: number, whole: number): number {
  if (whole === 0) return 0
  const size = Number((2n * BigInt(Math.abs(of)) * BigInt(taken) + BigInt(whole)) / (2n * BigInt(whole)))
  return of < 0 && size > 0 ? -size : size
}

/**
 * What a credit takes back of each charge that its line bills: the newest month first. To reopen is to settle no more; what is given
 * up stays settled. `taken`: what earlier credits took back of the same line, by charge, without sign.
 */
export function creditedParts(
  billed: readonly BilledPart[],
  taken: ReadonlyMap<string, number>,
  credit: { netMinor: number; effect: CreditEffect },
  keyOf: (part: ChargeKey) => string,
): BilledPart[] {
  const newestFirst = [...billed].sort((a, b) => (a.period < b.period ? 1 : a.period > b.period ? -1 : 0))
  let toTake = Math.abs(credit.netMinor)
  return newestFirst.flatMap((part) => {
    const whole = Math.abs(part.netMinor)
    const before = taken.get(keyOf(part)) ?? 0
    const now = Math.min(toTake, whole - before)
    if (now <= 0) return []
    toTake -= now
    const settled = portion(part.settlesMinor, before + now, whole) - portion(part.settlesMinor, before, whole)
    const netMinor = part.netMinor < 0 ? now : -now
    return [{ ...part, netMinor, settlesMinor: credit.effect === 'reopen' && settled !== 0 ? -settled : 0 }]
  })
}
