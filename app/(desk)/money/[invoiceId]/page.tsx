import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { standingWords } from '@/components/money'
import { moneyWords } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { mayDo } from '@/lib/office/frame/role-actions'
import { invoicePage } from '@/lib/office/money/queries'
import { requireActor } from '@/lib/office/people/session'
import { DraftPage } from './draft'
import { IssuedPage } from './issued'

export const metadata: Metadata = { title: 'Invoice' }

type Props = { params: Promise<{ invoiceId: string }> }

export default async function InvoicePage({ params }: Props) {
  const actor = await requireActor('money.read')
  const invoiceId = z.uuid().safeParse((await params).invoiceId)
  const invoice = invoiceId.success ? await invoicePage(actor, invoiceId.data) : null
  if (!invoice) notFound()
  const { currency, locale, standing, documentType, grossMinor } = invoice
  const what = documentType === 'invoice' ? 'invoice' : 'credit note'
  const mayChange = mayDo(actor.roles, 'money.change')
  const total = moneyWords({ minor: grossMinor, currency, locale })
  const pdf = `/api/invoices/${invoice.id}/pdf`
  if (invoice.state === 'draft') {
    return (
      <>
        <PageHead
          over={<PageLink href="/money">Money</PageLink>}
          title={`Draft ${what} for ${invoice.clientName}`}
          sub={`${total} in all. It has no number yet.`}
          actions={
            <a className="button" href={pdf}>
              See the PDF
            </a>
          }
        />
        <DraftPage invoice={invoice} what={what} total={total} mayChange={mayChange} />
      </>
    )
  }
  const state = documentType === 'invoice' ? standing.state : null
  const touched = invoice.payments.length + invoice.creditNotes.length > 0
  return (
    <>
      <PageHead
        over={<PageLink href="/money">Money</PageLink>}
        title={`${documentType === 'invoice' ? 'Invoice' : 'Credit note'} ${invoice.view.number}`}
        sub={`${invoice.clientName}, ${total}${state === null ? '' : `, ${standingWords({ ...standing, state, currency, locale })}`}.`}
        actions={
          <>
            <a className="button go" href={pdf}>
              PDF to send
            </a>
            {touched && (
              <a className="button" href={`${pdf}?standing=now`}>
                PDF with payments
              </a>
            )}
          </>
        }
      />
      <IssuedPage invoice={invoice} mayChange={mayChange} />
    </>
  )
}
