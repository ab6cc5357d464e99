import 'server-only'
import type { Prisma } from '@/generated/prisma/client'
import { newId } from '@/lib/new-id'
import type { CommandContext } from '../frame/command'
import { asDbDate } from '../frame/days'
import { LARGEST_MINOR } from './check-draft'
import type { DraftProposal, ProposedLine } from './draft-pieces'
import { shareNet } from './split-minor'
import { type DecimalInput, exactDecimal, type TaxTreatment } from './tax'
import { type InvoiceAmounts, type InvoiceTotals, invoiceTotals } from './totals'
import { unitColumns } from './units'

type Line = {
  quantity: DecimalInput
  unitPrice: DecimalInput
  tax: TaxTreatment
  serviceStart: string
  serviceEnd: string
}

/** What the lines add up to, as the invoice's own columns; null when it would not fit them. */
export function totalColumns(
  currency: string,
  lines: readonly Line[],
  reckon: (amounts: InvoiceAmounts) => InvoiceTotals = invoiceTotals,
) {
  let totals: InvoiceTotals
  try {
    totals = reckon({ currency, lines })
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
    taxParts: [...(tax.parts ?? [])],
  }
}

/** Stores a proposal as a draft; lines without a tax get the standard category, which the check then asks a rate for. */
export async function writeDraft(context: CommandContext, proposal: DraftProposal): Promise<string> {
  const { tx, actor } = context
  const { businessId } = actor
  const invoiceId = newId()
  const lines = proposal.lines.map(storable)
  const totals = totalColumns(proposal.currency, lines)
  const purchaseOrder = proposal.purchaseOrder ?? ''
  await tx.invoice.create({
    data: {
      businessId,
      id: invoiceId,
      clientId: proposal.payerId,
      currency: proposal.currency,
      purchaseOrder,
      ...totals?.columns,
    },
  })
  await writeLines(context, { invoiceId, clientId: proposal.payerId, purchaseOrder, after: 0 }, proposal)
  return invoiceId
}

const storable = (line: ProposedLine) => ({
  ...line,
  quantity: exactDecimal(line.quantity, 'quantity').toDecimalPlaces(3).toFixed(),
  unitPrice: exactDecimal(line.unitPrice, 'unit price').toDecimalPlaces(4).toFixed(),
  tax: line.tax ?? { category: 'S' as const, ratePercent: '0' },
})

type Place = { invoiceId: string; clientId: string; purchaseOrder: string; after: number }

/** Proposed lines of a draft, after those in place `after`, with the charges that they bill. */
export async function writeLines(
  { tx, actor }: CommandContext,
  { invoiceId, clientId, purchaseOrder, after }: Place,
  { lines: proposed, currency }: Pick<DraftProposal, 'lines' | 'currency'>,
): Promise<void> {
  const { businessId } = actor
  const lines = proposed.map((line) => ({ ...storable(line), id: newId() }))
  const nets = totalColumns(currency, lines)?.lineNetsMinor ?? []
  await tx.invoiceLine.createMany({
    data: lines.map((line, index) => ({
      businessId,
      id: line.id,
      clientId,
      invoiceId,
      position: after + index + 1,
      description: line.description,
      placeName: line.placeName,
      quantity: line.quantity,
      ...unitColumns(line.unit),
      unitPrice: line.unitPrice,
      netMinor: nets[index] ?? 0,
      ...taxColumns(line.tax),
      taxValidFrom: line.taxValidFrom === null ? null : asDbDate(line.taxValidFrom),
      serviceStart: asDbDate(line.serviceStart),
      serviceEnd: asDbDate(line.serviceEnd),
      purchaseOrder,
      tankId: line.tankId,
      ...sourceColumns(line),
    })),
  })
  await tx.chargeLine.createMany({
    data: lines.flatMap(({ id: lineId, charges }, index) =>
      shareNet(nets[index] ?? 0, charges).map((part) => ({ businessId, id: newId(), clientId, lineId, ...part })),
    ),
  })
}

/** The row behind the line, for those who look from there: what it settles stands in its charges. */
function sourceColumns({ charges, agreementId }: ProposedLine) {
  const first = charges[0]
  if (first?.kind === 'agreement_month') return { agreementId }
  if (first?.kind === 'visit') return { visitId: first.subjectId }
  return first?.kind === 'part' ? { partUsedId: first.subjectId } : {}
}
