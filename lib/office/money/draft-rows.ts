import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { newId } from '@/lib/new-id'
import { asDbDate } from '../clients/days'
import { LARGEST_MINOR } from './check-draft'
import type { DraftProposal, ProposedLine } from './draft-lines'
import type { MoneyContext } from './money-command'
import { type DecimalInput, exactDecimal, type TaxTreatment } from './tax'
import { type InvoiceTotals, invoiceTotals } from './totals'

type Line = {
  quantity: DecimalInput
  unitPrice: DecimalInput
  tax: TaxTreatment
  serviceStart: string
  serviceEnd: string
}

/** What the lines add up to, as the invoice's own columns; null when it would not fit them. */
export function totalColumns(currency: string, lines: readonly Line[]) {
  let totals: InvoiceTotals
  try {
    totals = invoiceTotals({ currency, lines })
  } catch (error) {
    if (error instanceof RangeError) return null
    throw error
  }
  const { netMinor, taxMinor, grossMinor, lineNetsMinor } = totals
  if ([netMinor, taxMinor, grossMinor, ...lineNetsMinor].some((minor) => Math.abs(minor) > LARGEST_MINOR)) return null
  const starts = lines.map((line) => line.serviceStart).sort()
  const ends = lines.map((line) => line.serviceEnd).sort()
  const columns = {
    netMinor,
    taxMinor,
    grossMinor,
    taxBreakdown: totals.taxGroups as unknown as Prisma.InputJsonValue, // plain objects of text and whole numbers
    serviceStart: starts[0] === undefined ? null : asDbDate(starts[0]),
    serviceEnd: ends.at(-1) === undefined ? null : asDbDate(ends.at(-1) ?? ''),
  }
  return { columns, lineNetsMinor }
}

/** The tax columns of a line; category O is stored with a rate of 0. */
export function taxColumns(tax: TaxTreatment) {
  return {
    taxCategory: tax.category,
    taxRate: exactDecimal(tax.ratePercent ?? '0', 'tax rate').toFixed(),
    taxExemptionReason: tax.exemptionReason ?? '',
  }
}

/** Stores a proposal as a draft; lines without a tax get the standard category, which the check then asks a rate for. */
export async function writeDraft({ tx, actor }: MoneyContext, proposal: DraftProposal): Promise<string> {
  const { businessId } = actor
  const invoiceId = newId()
  const lines = proposal.lines.map((line) => ({
    ...line,
    quantity: exactDecimal(line.quantity, 'quantity').toDecimalPlaces(3).toFixed(),
    unitPrice: exactDecimal(line.unitPrice, 'unit price').toDecimalPlaces(4).toFixed(),
    tax: line.tax ?? { category: 'S' as const, ratePercent: '0' },
  }))
  const totals = totalColumns(proposal.currency, lines)
  await tx.invoice.create({
    data: {
      businessId,
      id: invoiceId,
      clientId: proposal.payerId,
      currency: proposal.currency,
      purchaseOrder: proposal.purchaseOrder ?? '',
      ...totals?.columns,
    },
  })
  await tx.invoiceLine.createMany({
    data: lines.map((line, index) => ({
      businessId,
      id: newId(),
      clientId: proposal.payerId,
      invoiceId,
      position: index + 1,
      description: line.description,
      placeName: line.placeName,
      quantity: line.quantity,
      unit: line.unit,
      unitPrice: line.unitPrice,
      netMinor: totals?.lineNetsMinor[index] ?? 0,
      ...taxColumns(line.tax),
      taxValidFrom: line.taxValidFrom === null ? null : asDbDate(line.taxValidFrom),
      serviceStart: asDbDate(line.serviceStart),
      serviceEnd: asDbDate(line.serviceEnd),
      purchaseOrder: proposal.purchaseOrder ?? '',
      tankId: line.tankId,
      ...sourceColumns(line),
    })),
  })
  return invoiceId
}

/** What the line bills; the visits a fee covers are told by the agreement and the line's dates. */
function sourceColumns({ sources }: ProposedLine) {
  const first = sources[0]
  if (first?.kind === 'agreement') return { agreementId: first.id }
  if (first?.kind === 'visit') return { visitId: first.id }
  return first?.kind === 'part' ? { partUsedId: first.id } : {}
}
