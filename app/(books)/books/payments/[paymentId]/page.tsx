import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { correctPaymentAction } from '@/app/(desk)/money/actions'
import { CorrectPaymentForm } from '@/components/money'
import { DateWords, Facts, Money, Notice, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { mayDo } from '@/lib/office/frame/role-actions'
import { paymentPage } from '@/lib/office/money/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Payment' }

type Props = { params: Promise<{ paymentId: string }> }

export default async function PaymentPage({ params }: Props) {
  const actor = await requireActor('books.export')
  const paymentId = z.uuid().safeParse((await params).paymentId)
  const payment = paymentId.success ? await paymentPage(actor, paymentId.data) : null
  if (!payment) notFound()
  const { currency, locale, correctsId, correctedById } = payment
  const amount = (minor: number) => <Money minor={minor} currency={currency} locale={locale} />
  return (
    <>
      <PageHead
        over={<PageLink href={`/books/clients/${payment.clientId}`}>{payment.clientName}</PageLink>}
        title="Payment"
        sub={[payment.method, payment.reference].filter(Boolean).join(', ')}
      />
      {correctedById && (
        <Notice title="Corrected">
          This entry was wrong and counts nowhere.{' '}
          <PageLink href={`/books/payments/${correctedById}`}>See what it says now.</PageLink>
        </Notice>
      )}
      <div className="wide-narrow">
        <Sheet title="What it settles">
          <Facts
            numbers
            items={[
              { term: 'Received', value: <DateWords date={payment.receivedOn} style="date" locale={locale} /> },
              { term: 'Amount', value: amount(payment.amountMinor) },
              ...payment.settles.map(({ invoiceId, number, amountMinor }) => ({
                key: invoiceId,
                term: <PageLink href={`/money/${invoiceId}`}>{number}</PageLink>,
                value: amount(amountMinor),
              })),
              { term: 'Then kept as credit', value: amount(payment.inHandMinor) },
            ]}
          />
          {correctsId && <PageLink href={`/books/payments/${correctsId}`}>The entry that it corrects</PageLink>}
        </Sheet>
        {!correctedById && mayDo(actor.roles, 'payment.record') && (
          <Sheet title="Correct it">
            <CorrectPaymentForm
              action={correctPaymentAction}
              currency={currency}
              payment={payment}
              settles={payment.settles}
              others={payment.others}
            />
          </Sheet>
        )}
      </div>
    </>
  )
}
