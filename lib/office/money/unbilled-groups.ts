import type { ChargeKey } from './charge'
import { chargeInWords } from './draft-changes'
import { proposeDrafts } from './draft-lines'
import type { OpenWork } from './draft-pieces'
import { lineNetMinor } from './totals'

/** Unbilled work of one payer, currency and order, as the drafts would have it. Net, for drafts may still lack a tax. */
export type UnbilledGroup = {
  payerId: string
  payerName: string
  purchaseOrder: string | null
  currency: string
  netMinor: number
  /** The first of them; `lineCount` says how many there are. */
  lines: { description: string; placeName: string; netMinor: number }[]
  lineCount: number
  problems: { message: string; blocking: boolean }[]
}

/** So many lines of a group are listed before there is a draft; all of them stand on the client's page of charges. */
const LINES_LISTED = 4

/** What would stand on drafts, payers by name. Pure. */
export function unbilledGroups(work: OpenWork): UnbilledGroup[] {
  const names = new Map(work.payers.map(({ id, name }) => [id, name]))
  const groups = proposeDrafts(work).map(({ payerId, purchaseOrder, currency, lines, problems }) => {
    const priced = lines.map((line) => ({
      description: line.description,
      placeName: line.placeName,
      netMinor: lineNetMinor({ ...line, tax: line.tax ?? { category: 'Z', ratePercent: '0' } }, currency),
    }))
    const netMinor = priced.reduce((sum, line) => sum + line.netMinor, 0)
    const payerName = names.get(payerId) ?? ''
    const listed = { lines: priced.slice(0, LINES_LISTED), lineCount: priced.length }
    return { payerId, payerName, purchaseOrder, currency, netMinor, ...listed, problems }
  })
  return groups.sort((a, b) => a.payerName.localeCompare(b.payerName, 'en') || (a.payerId < b.payerId ? -1 : 1))
}

/** More was billed than is due by the records of today: to be credited, where the owner agrees. */
export type OverBilled = {
  key: ChargeKey
  what: string
  payerName: string
  overMinor: number
  invoiceId: string
  invoiceNumber: string
}

/** What issued invoices bill beyond what is due, newest invoice first. Pure. */
export function overBilled(work: OpenWork): OverBilled[] {
  const names = new Map(work.payers.map(({ id, name }) => [id, name]))
  return work.items
    .flatMap((item) => {
      const { standing } = item
      if (standing.draftId !== null) return []
      return standing.payers.flatMap(({ payerId, overMinor }) => {
        const line = standing.lines.findLast((known) => known.payerId === payerId && known.settlesMinor > 0)
        if (overMinor === 0 || !line || line.invoiceNumber === null) return []
        const { invoiceId, invoiceNumber } = line
        const payerName = names.get(payerId) ?? ''
        return [{ key: standing.charge, what: chargeInWords(item), payerName, overMinor, invoiceId, invoiceNumber }]
      })
    })
    .sort((a, b) => (a.invoiceNumber < b.invoiceNumber ? 1 : a.invoiceNumber > b.invoiceNumber ? -1 : 0))
}
