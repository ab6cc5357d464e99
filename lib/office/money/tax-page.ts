import 'server-only'
import { type Actor, inBusiness } from '../frame/actor'
import type { TaxCategory } from './tax'
import { type Period, TAX_DOCUMENTS_PER_PAGE, type TaxBasis, taxDocuments, taxSumWords } from './tax-report'

type Asked = Period & {
  basis: TaxBasis
  currency: string
  category: TaxCategory
  ratePercent: string
  name: string
  page: number
}

/** The documents behind one sum of the tax report. */
export function taxPage(actor: Actor, { from, to, ...asked }: Asked) {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const { locale, country } = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const { documents, total } = await taxDocuments(tx, { ...asked, businessId, period: { from, to } })
    const pages = { page: asked.page, perPage: TAX_DOCUMENTS_PER_PAGE, total }
    return { documents, pages, locale, words: taxSumWords(country, asked) }
  })
}
