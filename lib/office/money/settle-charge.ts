/**
 * How a charge stands: what is due, what lines bill of it, what is open. Pure; minor units.
 *
 * Open = due − settled, where a line settles what it bills and a credit that reopens settles it no more; one that gives up does not.
 * Billed once, its amount stands as it was billed until its facts change: a new price does not reach it. A month keeps the rule by
 * which it was billed. Nothing is open for two payers together beyond what is open of the whole: where the payer changes after
 * billing, the former one is credited first.
 */
import type { Charge, ChargeLine } from './charge'
import { splitMinor } from './split-minor'

export type PayerStanding = {
  payerId: string
  dueMinor: number
  /** Net on lines, credits taken off. */
  billedMinor: number
  settledMinor: number
  openMinor: number
  /** Billed beyond what is due: to be credited, where a person says so. */
  overMinor: number
}

export type ChargeStanding = {
  charge: Charge
  payers: PayerStanding[]
  lines: readonly ChargeLine[]
  /** The reason why it is never billed; null while it is. */
  waived: string | null
  /** What would be open without that decision. */
  waivedMinor: number
  /** The draft that bills some of it; nothing is proposed beside a draft. */
  draftId: string | null
  /** No line has named it yet, or all that did was taken back. */
  isFresh: boolean
}

const sumOf = <Row>(rows: readonly Row[], of: (row: Row) => number) => rows.reduce((sum, row) => sum + of(row), 0)

/** A credit that gives up takes the money back and settles all the same. */
const givenUp = ({ netMinor, settlesMinor }: ChargeLine) => (netMinor < 0 && settlesMinor === 0 ? -netMinor : 0)

/** The newest line that bills, where something of the charge is still settled. `lines` come oldest first. */
export function newestBilling(lines: readonly ChargeLine[]): ChargeLine | undefined {
  if (sumOf(lines, ({ settlesMinor }) => settlesMinor) <= 0) return undefined
  return lines.findLast(({ settlesMinor }) => settlesMinor > 0)
}

/** What is due of each payer: as billed while the facts say the same, else as they say now. */
function dues(charge: Charge, billing: ChargeLine | undefined): Map<string, number> {
  const shares = charge.shares ?? []
  const stands =
    billing && charge.kind !== 'agreement_month' && (charge.shares === null || billing.facts === charge.facts)
  if (!stands) return new Map(shares.map(({ payerId, dueMinor }) => [payerId, dueMinor]))
  const first = shares[0]?.payerId ?? billing.payerId
  return new Map([[first, billing.dueMinor]])
}

const negative = (minor: number) => (minor === 0 ? 0 : -minor)

/** A line by hand as a charge: one that takes something off is settled, open and given up as any other, below nothing. */
export function settleHand(charge: Charge, lines: readonly ChargeLine[], waived: string | null): ChargeStanding {
  const shares = charge.shares ?? []
  if (shares.every(({ dueMinor }) => dueMinor >= 0)) return settleCharge(charge, lines, waived)
  const turned = settleCharge(
    { ...charge, shares: shares.map((share) => ({ ...share, dueMinor: negative(share.dueMinor) })) },
    lines.map((line) => ({
      ...line,
      netMinor: negative(line.netMinor),
      settlesMinor: negative(line.settlesMinor),
      dueMinor: negative(line.dueMinor),
    })),
    waived,
  )
  return {
    ...turned,
    ...{ charge, lines, waivedMinor: negative(turned.waivedMinor) },
    payers: turned.payers.map((payer) => ({
      payerId: payer.payerId,
      dueMinor: negative(payer.dueMinor),
      billedMinor: negative(payer.billedMinor),
      settledMinor: negative(payer.settledMinor),
      openMinor: negative(payer.openMinor),
      overMinor: negative(payer.overMinor),
    })),
  }
}

/** `waived`: the reason of a standing "never bill". `lines`: all that bill or credit it, oldest first. */
export function settleCharge(charge: Charge, lines: readonly ChargeLine[], waived: string | null): ChargeStanding {
  const due = dues(charge, newestBilling(lines))
  const payerIds = [...new Set([...due.keys(), ...lines.map(({ payerId }) => payerId)])]
  const rows = payerIds.map((payerId) => {
    const own = lines.filter((line) => line.payerId === payerId)
    const settledMinor = sumOf(own, ({ settlesMinor }) => settlesMinor)
    const dueMinor = due.get(payerId) ?? 0
    return {
      payerId,
      dueMinor,
      billedMinor: sumOf(own, ({ netMinor }) => netMinor),
      settledMinor,
      lackMinor: Math.max(0, dueMinor - settledMinor),
      overMinor: Math.max(0, settledMinor - sumOf(own, givenUp) - dueMinor),
    }
  })
  const openOfAll = Math.max(
    0,
    sumOf(rows, ({ dueMinor }) => dueMinor) - sumOf(rows, ({ settledMinor }) => settledMinor),
  )
  const lacks = rows.map(({ lackMinor }) => lackMinor)
  const lacking = sumOf(lacks, (lack) => lack)
  const open = lacking <= openOfAll ? lacks : splitMinor(openOfAll, lacks)
  return {
    charge,
    lines,
    waived,
    waivedMinor: waived === null ? 0 : sumOf(open, (minor) => minor),
    draftId:
      lines.find(({ invoiceNumber, settlesMinor }) => invoiceNumber === null && settlesMinor > 0)?.invoiceId ?? null,
    isFresh: newestBilling(lines) === undefined,
    payers: rows.map(({ lackMinor: _, ...row }, place) => ({
      ...row,
      openMinor: waived === null ? (open[place] ?? 0) : 0,
      overMinor: waived === null ? row.overMinor : 0,
    })),
  }
}
