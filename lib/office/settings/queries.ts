import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import type { PaperPicture } from '@/lib/platform/pdf/paper'
import { equipmentClasses, findClass } from '@/lib/trade/catalogue'
import { type Actor, inBusiness } from '../frame/actor'
import { minorToDecimalText } from '../money/currency'
import { readLogo } from '../money/logo-file'
import { numberInSeries } from '../money/number-series'
import { pricesTaxedOtherwise } from '../money/price-tax'
import { storedTaxParts, taxPartsText } from '../money/tax-parts'

/** The fields of the settings form as text, by their names. */
export type SettingsTexts = Record<string, string>

/** What the owner may change about the business, as the form shows it. */
export function readSettings(actor: Actor): Promise<SettingsTexts> {
  return inBusiness(actor, async (tx) => textsOf(await readBusiness(tx, actor.businessId)))
}

/** The page of settings: the form, the numbers to be given out next, the logo, and how many prices do not go with the tax. */
export function settingsPage(actor: Actor) {
  return inBusiness(actor, async (tx) => {
    const read = await readBusiness(tx, actor.businessId)
    const nextOf = (type: string) => {
      const known = read.series.find(({ documentType }) => documentType === type)
      return numberInSeries(known?.prefix ?? '', known?.nextNumber ?? 1)
    }
    return {
      values: textsOf(read),
      nextNumbers: { invoice: nextOf('invoice'), creditNote: nextOf('credit_note') },
      logoSha256: read.business.logoSha256,
      pricesTaxedOtherwise: await pricesTaxedOtherwise(tx, read.business),
    }
  })
}

/** The logo's file of this actor's business; null where there is none. */
export async function findLogo(actor: Actor): Promise<PaperPicture | null> {
  const { businessId } = actor
  const business = await inBusiness(actor, (tx) => tx.business.findUniqueOrThrow({ where: { id: businessId } }))
  const { logoSha256: sha256, logoWidthPx: widthPx, logoHeightPx: heightPx } = business
  if (sha256 === null || widthPx === null || heightPx === null) return null
  return readLogo(businessId, { sha256, widthPx, heightPx })
}

async function readBusiness(tx: Transaction, businessId: string) {
  const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
  const series = await tx.numberSeries.findMany({
    where: { businessId },
    select: { documentType: true, prefix: true, nextNumber: true },
  })
  return { business, series }
}

function textsOf({ business, series }: Awaited<ReturnType<typeof readBusiness>>): SettingsTexts {
  const prefixOf = (type: string) => series.find(({ documentType }) => documentType === type)?.prefix ?? ''
  const { id: _, createdAt: __, isDemo: ___, quoteLimitMinor: ____, derivedMissing: _____, ...columns } = business
  const { logoSha256: ______, logoWidthPx: _______, logoHeightPx: ________, ...texts } = columns
  return {
    ...texts,
    gallon: business.gallon ?? '',
    paymentTermsDays: String(business.paymentTermsDays),
    defaultTaxRate: business.defaultTaxRate.toString(),
    defaultTaxParts: taxPartsText(storedTaxParts(business.defaultTaxParts)),
    invoicePrefix: prefixOf('invoice'),
    creditNotePrefix: prefixOf('credit_note'),
    nextInvoiceNumber: '',
    nextCreditNoteNumber: '',
  }
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
