import 'server-only'
import { type StatementView, statementPdf } from '@/lib/platform/pdf/statement-pdf'
import { type Actor, inBusiness } from '../frame/actor'
import { type Account, readAccount } from './account-page'
import type { FrozenBuyer, FrozenSeller } from './frozen-parties'
import { amountInWords, type PaperManner, paperManner } from './paper-manner'
import { addressLines } from './postal-address'
import { buyerOf, INVOICE_INCLUDE, sellerOf } from './stored-document'
import type { Period } from './tax-report'

const KINDS = { invoice: 'Invoice', credit_note: 'Credit note', payment: 'Payment', refund: 'Refund' } as const
const AGES = ['Not yet due', '1 to 30 days past due', '31 to 60 days', '61 to 90 days', 'Over 90 days'] as const

/** A client's statement of a period as a PDF, one currency after the other; null where there is no such client. */
export async function statementPaper(actor: Actor, clientId: string, period: Period) {
  const { businessId } = actor
  const read = await inBusiness(actor, async (tx) => {
    const account = await readAccount(tx, businessId, clientId, period)
    const business = await tx.business.findUniqueOrThrow({ where: { id: businessId } })
    const client =
      account && (await tx.client.findFirst({ where: { businessId, id: account.clientId }, ...INVOICE_INCLUDE.client }))
    return account && client ? { account, business, client } : null
  })
  if (!read) return null
  const { account, business, client } = read
  const seller = sellerOf({ business })
  const buyer = buyerOf({ client })
  const manner = paperManner(seller, business.currency, business.locale)
  const view: StatementView = {
    pageSize: seller.style.pageSize,
    language: business.locale,
    businessName: seller.name,
    ...partyLines(seller, buyer, business.locale),
    clientName: buyer.name,
    title: `Statement, ${manner.period(period.from, period.to)}`,
    heads: ['Date', 'What', 'Amount', 'Balance'],
    ...figuresOf(account, period, { locale: business.locale, manner }),
    dateIso: period.to,
  }
  return { fileName: `statement-${period.from}-to-${period.to}.pdf`, bytes: await statementPdf(view) }
}

/** As on the invoices: to a client abroad the business's own country is named. */
function partyLines(seller: FrozenSeller, buyer: FrozenBuyer, language: string) {
  const home = seller.address.country
  const readIn = buyer.address.country || home
  const reached = [seller.phone, seller.email].filter((line) => line !== '')
  return {
    businessLines: [...addressLines(seller.address, { home, readIn, language }), ...reached],
    clientLines: addressLines(buyer.address, { home, language }),
  }
}

function figuresOf(
  account: Account,
  { from, to }: Period,
  { locale, manner }: { locale: string; manner: PaperManner },
): Pick<StatementView, 'rows' | 'summary'> {
  const several = account.currencies.length > 1
  const of = account.currencies.map(({ currency, openingMinor, entries, closingMinor, balance }) => {
    const amount = (minor: number) => amountInWords(minor, currency, locale)
    const edge = (day: string, what: string, minor: number) => ({
      ...{ day: manner.date(day), what: `${what}, ${currency}`, amount: '', balance: amount(minor), isEdge: true },
    })
    const rows = [
      edge(from, 'Opening balance', openingMinor),
      ...entries.map((entry) => ({
        day: manner.date(entry.day),
        what: [KINDS[entry.kind], entry.what].filter(Boolean).join(' '),
        amount: amount(entry.amountMinor),
        balance: amount(entry.balanceMinor),
        isEdge: false,
      })),
      edge(to, 'Closing balance', closingMinor),
    ]
    const label = (words: string) => (several ? `${words}, ${currency}` : words)
    const summary = [
      ...AGES.flatMap((age, place) => {
        const minor = balance.agedMinor[place] ?? 0
        return minor === 0 ? [] : [{ label: label(age), amount: amount(minor) }]
      }),
      ...(balance.inHandMinor === 0 ? [] : [{ label: label('Credit in hand'), amount: amount(balance.inHandMinor) }]),
      { label: `Balance in ${currency}`, amount: amount(balance.debtorsMinor) },
    ]
    return { rows, summary }
  })
  return { rows: of.flatMap(({ rows }) => rows), summary: of.flatMap(({ summary }) => summary) }
}
