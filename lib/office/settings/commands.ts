import 'server-only'
import { newId } from '@/lib/new-id'
import { findClass } from '@/lib/trade/catalogue'
import { type CommandContext, defineCommand } from '../frame/command'
import { done, type FieldProblems, invalid } from '../frame/result'
import { markClassesStale } from '../lanes/stale-lanes'
import { amountTextToMinor, currencyDecimals } from '../money/currency'
import { readTaxParts } from '../money/tax-parts'
import { businessSettingsSchema, costsSchema } from './schema'

export { addLogo, keepLogo, removeLogo } from './logo-commands'

/** Changes what stands on invoices and how things are written. Issued invoices keep what they were issued with. */
export const changeBusinessSettings = defineCommand(
  { kind: 'settings.business', may: 'settings.change', schema: businessSettingsSchema },
  async (context, { commandId, businessId, ...input }) => {
    const { tx } = context
    const { invoicePrefix, creditNotePrefix, nextInvoiceNumber, nextCreditNoteNumber, gallon, ...rest } = input
    const columns = { ...rest, defaultTaxParts: readTaxParts(rest.defaultTaxParts) ?? [] }
    const before = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    if (columns.currency !== before.currency) {
      const fault = await currencyFault(context, columns.currency)
      if (fault) return invalid({ currency: [fault] })
    }
    await tx.business.update({ where: { id: businessId }, data: { ...columns, gallon: gallon || null } })
    // What work costs to start from is an amount of the currency.
    if (columns.currency !== before.currency) await markClassesStale(tx, businessId, '*')
    const invoices = await setSeries(context, 'invoice', invoicePrefix, nextInvoiceNumber)
    if (invoices) return invalid({ nextInvoiceNumber: [invoices] })
    const creditNotes = await setSeries(context, 'credit_note', creditNotePrefix, nextCreditNoteNumber)
    if (creditNotes) return invalid({ nextCreditNoteNumber: [creditNotes] })
    const { createdAt: _, isDemo: __, defaultTaxRate, ...was } = before
    await context.audit(
      'business',
      businessId,
      'settings.changed',
      { ...was, defaultTaxRate: defaultTaxRate.toString() },
      input,
    )
    return done({ businessId })
  },
)

/** Amounts are kept in the smallest unit of the currency, so it can change only while there are none. */
async function currencyFault({ tx, actor: { businessId } }: CommandContext, currency: string): Promise<string | null> {
  try {
    currencyDecimals(currency)
  } catch {
    return 'Invoices cannot be written in this currency.'
  }
  const where = { businessId }
  const amounts = [
    await tx.invoice.count({ where }),
    await tx.priceItem.count({ where }),
    await tx.costSetting.count({ where }),
    await tx.clientCost.count({ where }),
    await tx.agreement.count({ where }),
    await tx.part.count({ where: { ...where, OR: [{ costMinor: { gt: 0 } }, { orderCostMinor: { gt: 0 } }] } }),
  ]
  return amounts.some((count) => count > 0)
    ? 'The currency cannot change any more: there are prices, costs, agreements or invoices in the present one.'
    : null
}

/**
 * The letters before the numbers of a series, and where it goes on from: any number above those given out, gapless from there. A slip can be put
 * right until a paper bears it. Words where the number may be given out already. `next` blank leaves the number as it is.
 */
async function setSeries(
  { tx, actor: { businessId } }: CommandContext,
  documentType: string,
  prefix: string,
  next: string,
): Promise<string | null> {
  // The same row as issuing locks: nobody takes a number meanwhile.
  const [known] = await tx.$queryRaw<{ prefix: string; nextNumber: number }[]>`
    SELECT prefix, next_number AS "nextNumber" FROM number_series
    WHERE business_id = ${businessId}::uuid AND document_type = ${documentType} FOR UPDATE`
  const present = known?.nextNumber ?? 1
  const nextNumber = next === '' ? present : Number(next)
  const [given] = await tx.$queryRaw<{ after: number }[]>`
    SELECT LEAST(${present}, COALESCE(max(substring(number FROM '[0-9]+$')::numeric), 0) + 1)::int AS after FROM invoice
    WHERE business_id = ${businessId}::uuid AND document_type = ${documentType} AND state = 'issued'`
  const lowest = given?.after ?? present
  if (nextNumber < lowest) return `Go on at ${lowest} or higher, so that no number is given out twice.`
  if (known?.prefix === prefix && nextNumber === present) return null
  await tx.numberSeries.upsert({
    where: { businessId_documentType: { businessId, documentType } },
    create: { businessId, id: newId(), documentType, prefix, nextNumber },
    update: { prefix, nextNumber },
  })
  return null
}

/**
 * States costs anew: a new version with all rows of the one before, of which this one is replaced. What is due is worked
 * out again at that version.
 */
export const changeCosts = defineCommand(
  { kind: 'settings.costs', may: 'settings.change', schema: costsSchema },
  async (context, { commandId, ...input }) => {
    const { tx, actor } = context
    const { businessId } = actor
    // One at a time: two versions made at once must not have one number.
    await tx.$queryRaw`SELECT id FROM business WHERE id = ${businessId}::uuid FOR NO KEY UPDATE`
    const { currency } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { currency: true } })
    const { amounts, problems } = readAmounts(input, currency)
    if (input.equipmentClass !== '*' && !findClass(input.equipmentClass))
      problems.equipmentClass = ['Choose a kind of equipment from the list.']
    if (Object.keys(problems).length > 0) return invalid(problems)
    const newest = await tx.costSetting.aggregate({ where: { businessId }, _max: { version: true } })
    const before = newest._max.version ?? 0
    const version = before + 1
    const rows = await tx.costSetting.findMany({ where: { businessId, version: before } })
    const kept = rows.filter((row) => row.equipmentClass !== input.equipmentClass || row.failureMode !== '*')
    const shareReported = (Number(input.shareReportedPercent) / 100).toFixed(4)
    const row = { equipmentClass: input.equipmentClass, failureMode: '*', ...amounts, shareReported }
    await tx.costSetting.createMany({
      data: [
        ...kept.map(({ madeAt: _, ...old }) => ({ ...old, id: newId(), version })),
        { businessId, id: commandId, version, ...row },
      ],
    })
    await markClassesStale(tx, businessId, input.equipmentClass === '*' ? '*' : [input.equipmentClass])
    await context.audit('cost_setting', commandId, 'costs.changed', undefined, { version, ...row })
    return done({ version })
  },
)

type Amounts = { plannedMinor: number; foundMinor: number; callOutMinor: number; hiddenPerDayMinor: number }
type Typed = { planned: string; found: string; callOut: string; hiddenPerDay: string }

function readAmounts(typed: Typed, currency: string): { amounts: Amounts; problems: FieldProblems } {
  const problems: FieldProblems = {}
  const read = (name: keyof Typed) => {
    const minor = amountTextToMinor(typed[name], currency)
    if (minor === null || minor < 0 || minor > 2_000_000_000)
      problems[name] = [`Write an amount in ${currency}, like 45 or 45.50.`]
    return minor ?? 0
  }
  const amounts = {
    plannedMinor: read('planned'),
    foundMinor: read('found'),
    callOutMinor: read('callOut'),
    hiddenPerDayMinor: read('hiddenPerDay'),
  }
  return { amounts, problems }
}
