/** What is different on a draft from the last invoice of the same client. Pure; minor units. */
import { countInWords } from './dates-in-words'

type Line = {
  kind: 'month' | 'visit' | 'part' | 'other'
  /** Which tank's, as the line calls it. */
  placeName: string
  netMinor: number
  /** Months on the line. */
  quantity: number
}

export type LastInvoice = { number: string; netMinor: number; lines: readonly Line[] }

/** The difference of the nets, and why, each reason in a few words. Null where the client has no invoice yet. */
export type ChangeSinceLast = { number: string; differenceMinor: number; reasons: string[] }

const feesOf = (lines: readonly Line[]) => {
  const fees = new Map<string, number>()
  for (const { kind, placeName, netMinor, quantity } of lines)
    if (kind === 'month' && quantity > 0) fees.set(placeName, Math.round(netMinor / quantity))
  return fees
}

const WORDS = {
  visit: ['visit or call-out', 'visits and call-outs'],
  part: ['part', 'parts'],
  other: ['line written by hand', 'lines written by hand'],
} as const

/** `amount` writes an amount in words. */
export function changeSinceLast(
  lines: readonly Line[],
  last: LastInvoice | null,
  amount: (minor: number) => string,
): ChangeSinceLast | null {
  if (!last) return null
  const [now, then] = [feesOf(lines), feesOf(last.lines)]
  const reasons: string[] = []
  for (const [place, fee] of now) {
    const before = then.get(place)
    if (before === undefined) reasons.push(`new: agreement at ${place}`)
    else if (before !== fee) reasons.push(`fee at ${place} ${amount(before)} → ${amount(fee)}`)
  }
  for (const place of then.keys()) if (!now.has(place)) reasons.push(`no fee at ${place} this time`)
  const months = (of: readonly Line[]) =>
    of.reduce((sum, { kind, quantity }) => (kind === 'month' ? sum + quantity : sum), 0)
  if (months(lines) !== months(last.lines) && now.size === then.size)
    reasons.push(`${countInWords(months(lines), 'month', 'months')} instead of ${months(last.lines)}`)
  for (const kind of ['visit', 'part', 'other'] as const) {
    const count = (of: readonly Line[]) => of.filter((line) => line.kind === kind).length
    if (count(lines) === count(last.lines)) continue
    const [one, many] = WORDS[kind]
    reasons.push(`${countInWords(count(lines), one, many)}, ${count(last.lines)} last time`)
  }
  const netMinor = lines.reduce((sum, line) => sum + line.netMinor, 0)
  return { number: last.number, differenceMinor: netMinor - last.netMinor, reasons }
}
