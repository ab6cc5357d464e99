import 'server-only'
import type { z } from 'zod'
import { newId } from '@/lib/new-id'
import { sendJob } from '@/lib/platform/jobs/send'
import { findClass } from '@/lib/trade/catalogue'
import type { Actor } from '../actor'
import { type CommandContext, runCommand, writeAudit } from '../command'
import { amountTextToMinor, currencyDecimals } from '../money/currency'
import { done, type FieldProblems, invalid, type Result } from '../result'
import type { businessSettingsSchema, costsSchema } from './schema'

/** Changes what stands on invoices and how things are written. Issued invoices keep what they were issued with. */
export function changeBusinessSettings(
  actor: Actor,
  { commandId, businessId, ...input }: z.output<typeof businessSettingsSchema>,
): Promise<Result<{ businessId: string }>> {
  return runCommand(actor, { id: commandId, kind: 'settings.business', payload: input }, async (context) => {
    const { tx } = context
    const { invoicePrefix, creditNotePrefix, gallon, ...columns } = input
    const before = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    if (columns.currency !== before.currency) {
      const fault = await currencyFault(context, actor, columns.currency)
      if (fault) return invalid({ currency: [fault] })
    }
    await tx.business.update({ where: { id: businessId }, data: { ...columns, gallon: gallon || null } })
    await setPrefix(context, actor, 'invoice', invoicePrefix)
    await setPrefix(context, actor, 'credit_note', creditNotePrefix)
    const { createdAt: _, isDemo: __, defaultTaxRate, ...was } = before
    await writeAudit(context, actor, {
      id: commandId,
      action: 'settings.changed',
      entity: 'business',
      entityId: businessId,
      before: { ...was, defaultTaxRate: defaultTaxRate.toString() },
      after: input,
    })
    return done({ businessId })
  })
}

/** Amounts are kept in the smallest unit of the currency, so it can change only while there are none. */
async function currencyFault({ tx }: CommandContext, { businessId }: Actor, currency: string): Promise<string | null> {
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
  ]
  return amounts.some((count) => count > 0)
    ? 'The currency cannot change any more: there are prices, costs or invoices in the present one.'
    : null
}

async function setPrefix(
  { tx }: CommandContext,
  { businessId }: Actor,
  documentType: string,
  prefix: string,
): Promise<void> {
  const where = { businessId_documentType: { businessId, documentType } }
  const known = await tx.numberSeries.findUnique({ where, select: { prefix: true } })
  if (known?.prefix === prefix) return
  await tx.numberSeries.upsert({
    where,
    create: { businessId, id: newId(), documentType, prefix },
    update: { prefix },
  })
}

/**
 * States costs anew: a new version with all rows of the one before, of which this one is replaced. What is due is worked
 * out again at that version.
 */
export function changeCosts(
  actor: Actor,
  { commandId, ...input }: z.output<typeof costsSchema>,
): Promise<Result<{ version: number }>> {
  const { businessId } = actor
  return runCommand(actor, { id: commandId, kind: 'settings.costs', payload: input }, async (context) => {
    const { tx } = context
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
    await sendJob(tx, 'rebuild-derived', { businessId })
    await writeAudit(context, actor, {
      id: commandId,
      action: 'costs.changed',
      entity: 'cost_setting',
      entityId: commandId,
      after: { version, ...row },
    })
    return done({ version })
  })
}

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
