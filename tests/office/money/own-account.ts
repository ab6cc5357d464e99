/**
 * An account kept apart from the office, for tests: it writes down what happened and adds it up anew for every question, with whole numbers
 * only and none of the office's code. Minor units; days ISO.
 */
export type Line = { netMinor: number; ratePercent: number }
type Document = { id: string; client: string; day: string; due: string; lines: Line[] }
type Settlement = { invoice: string; day: string; minor: number; payment: string | null }

/** Half up on the absolute value. */
const rounded = (numerator: number, denominator: number) =>
  Math.sign(numerator) * Math.floor((2 * Math.abs(numerator) + denominator) / (2 * denominator))

/** Tax once for each rate of a document, on the sum of its nets. */
function taxOf(lines: readonly Line[]): Map<number, { net: number; tax: number }> {
  const rates = new Map<number, { net: number; tax: number }>()
  for (const { ratePercent } of lines) {
    const net = lines.reduce((sum, line) => (line.ratePercent === ratePercent ? sum + line.netMinor : sum), 0)
    rates.set(ratePercent, { net, tax: rounded(net * ratePercent, 100) })
  }
  return rates
}

export const grossOf = (lines: readonly Line[]) =>
  [...taxOf(lines).values()].reduce((sum, { net, tax }) => sum + net + tax, 0)

export class OwnAccount {
  invoices: Document[] = []
  credits: (Document & { invoice: string })[] = []
  payments: { id: string; client: string; day: string; minor: number }[] = []
  settlements: Settlement[] = []

  /** A wrong payment and all that it settled, as if it had never been. */
  forget(payment: string): void {
    this.payments = this.payments.filter(({ id }) => id !== payment)
    this.settlements = this.settlements.filter((one) => one.payment !== payment)
  }

  paid(invoice: string, asAt = '9999-12-31'): number {
    return this.settlements.reduce(
      (sum, one) => (one.invoice === invoice && one.day <= asAt ? sum + one.minor : sum),
      0,
    )
  }

  owed({ id, lines }: Document, asAt = '9999-12-31'): number {
    const credited = this.credits.filter(({ invoice, day }) => invoice === id && day <= asAt)
    return grossOf(lines) - credited.reduce((sum, credit) => sum + grossOf(credit.lines), 0) - this.paid(id, asAt)
  }

  /** Payments that settle nothing. */
  unused(client: string): number {
    const received = this.payments.reduce((sum, one) => (one.client === client ? sum + one.minor : sum), 0)
    const own = this.invoices.filter((one) => one.client === client)
    return received - own.reduce((sum, { id }) => sum + this.paid(id), 0)
  }

  /** What the papers say less the money, of all or of one client. */
  balance(asAt: string, client?: string): number {
    const ours = (one: { client: string; day: string }) =>
      one.day <= asAt && (client === undefined || one.client === client)
    const papers = (documents: readonly Document[]) =>
      documents.filter(ours).reduce((sum, { lines }) => sum + grossOf(lines), 0)
    const money = this.payments.filter(ours).reduce((sum, { minor }) => sum + minor, 0)
    return papers(this.invoices) - papers(this.credits) - money
  }

  /** Outstanding as at a day: not yet due, to 30, 60, 90 days and more past the due day. */
  aged(asAt: string): number[] {
    const columns = [0, 0, 0, 0, 0]
    for (const invoice of this.invoices.filter(({ day }) => day <= asAt)) {
      const days = (Date.parse(asAt) - Date.parse(invoice.due)) / 86_400_000
      const place = days <= 0 ? 0 : days <= 30 ? 1 : days <= 60 ? 2 : days <= 90 ? 3 : 4
      columns[place] = (columns[place] ?? 0) + Math.max(0, this.owed(invoice, asAt))
    }
    return columns
  }

  /** Net and tax by rate of what was issued, credit notes taken off. */
  taxByRate(): Record<string, { net: number; tax: number }> {
    const sums: Record<string, { net: number; tax: number }> = {}
    const add = (document: Document, sign: number) => {
      for (const [rate, { net, tax }] of taxOf(document.lines)) {
        const { net: soFar = 0, tax: taxSoFar = 0 } = sums[rate] ?? {}
        sums[rate] = { net: soFar + sign * net, tax: taxSoFar + sign * tax }
      }
    }
    for (const invoice of this.invoices) add(invoice, 1)
    for (const credit of this.credits) add(credit, -1)
    return sums
  }
}
