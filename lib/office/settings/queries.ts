import 'server-only'
import { equipmentClasses, findClass } from '@/lib/trade/catalogue'
import { type Actor, inBusiness } from '../actor'
import { minorToDecimalText } from '../money/currency'

/** The fields of the settings form as text, by their names. */
export type SettingsTexts = Record<string, string>

/** What the owner may change about the business, as the form shows it. */
export function readSettings(actor: Actor): Promise<SettingsTexts> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const series = await tx.numberSeries.findMany({
      where: { businessId },
      select: { documentType: true, prefix: true },
    })
    const prefixOf = (type: string) => series.find(({ documentType }) => documentType === type)?.prefix ?? ''
    const { id: _, createdAt: __, isDemo: ___, quoteLimitMinor: ____, ...texts } = business
    return {
      ...texts,
      gallon: business.gallon ?? '',
      paymentTermsDays: String(business.paymentTermsDays),
      defaultTaxRate: business.defaultTaxRate.toString(),
      invoicePrefix: prefixOf('invoice'),
      creditNotePrefix: prefixOf('credit_note'),
    }
  })
}

export type CostTexts = {
  equipmentClass: string
  className: string
  planned: string
  found: string
  callOut: string
  hiddenPerDay: string
  shareReportedPercent: string
}

/** The costs in force, those for everything first, and the classes one can state others for. */
export function readCostTexts(
  actor: Actor,
): Promise<{ currency: string; version: number; costs: CostTexts[]; classes: { value: string; label: string }[] }> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const { currency } = await tx.business.findUniqueOrThrow({ where: { id: businessId }, select: { currency: true } })
    const newest = await tx.costSetting.aggregate({ where: { businessId }, _max: { version: true } })
    const version = newest._max.version ?? 0
    const rows = await tx.costSetting.findMany({
      where: { businessId, version, failureMode: '*' },
      orderBy: [{ equipmentClass: 'asc' }, { id: 'asc' }],
    })
    const text = (minor: number) => minorToDecimalText(minor, currency)
    const costs = rows.map((row) => ({
      equipmentClass: row.equipmentClass,
      className:
        row.equipmentClass === '*' ? 'Everything' : (findClass(row.equipmentClass)?.name ?? row.equipmentClass),
      planned: text(row.plannedMinor),
      found: text(row.foundMinor),
      callOut: text(row.callOutMinor),
      hiddenPerDay: text(row.hiddenPerDayMinor),
      shareReportedPercent: String(Number(row.shareReported.times(100))),
    }))
    const classes = equipmentClasses.map(({ slug, name }) => ({ value: slug, label: name }))
    return { currency, version, costs, classes: [{ value: '*', label: 'Everything else' }, ...classes] }
  })
}
