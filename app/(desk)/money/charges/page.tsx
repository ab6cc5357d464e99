import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { ChargesTable, TakeBackWaiverForm, WaiveForm } from '@/components/money'
import { ButtonLink, Empty, Facts, moneyWords, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { mayDo } from '@/lib/office/frame/role-actions'
import { chargesPage } from '@/lib/office/money/queries'
import { requireActor } from '@/lib/office/people/session'
import { takeBackWaiverAction, waiveChargeAction } from '../actions'

export const metadata: Metadata = { title: 'Billed and open' }

const query = z.union([
  z.object({ client: z.uuid() }).transform(({ client }) => ({ clientId: client })),
  z.object({ tank: z.uuid() }).transform(({ tank }) => ({ tankId: tank })),
])

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function ChargesPage({ searchParams }: Props) {
  const actor = await requireActor('money.read')
  const asked = query.safeParse(await searchParams)
  const page = asked.success ? await chargesPage(actor, asked.data) : null
  if (!page) notFound()
  const { currency, locale, places } = page
  const amount = (minor: number) => moneyWords({ minor, currency, locale })
  const mayChange = mayDo(actor.roles, 'money.change')
  const sum = (rows: (typeof places)[number]['rows'], of: 'openMinor' | 'waivedMinor') =>
    rows.reduce((all, row) => all + row[of], 0)
  return (
    <>
      <PageHead
        over={<PageLink href="/money">Money</PageLink>}
        title={`Billed and open: ${page.title}`}
        sub="Net amounts, tank by tank: what is billed, what is open to bill, and what is never billed."
        actions={<ButtonLink href="/money#unbilled">Make drafts</ButtonLink>}
      />
      {places.length === 0 && (
        <Empty title="Nothing to bill yet">Fees, visits and parts come here as they are done.</Empty>
      )}
      {places.map((place) => (
        <Sheet key={place.tankId} title={place.name}>
          <Facts
            numbers
            items={[
              { term: 'Billed', value: amount(place.billedMinor) },
              { term: 'Open to bill', value: amount(sum(place.rows, 'openMinor')) },
              { term: 'Waived', value: amount(sum(place.rows, 'waivedMinor')) },
            ]}
          />
          <ChargesTable
            caption={`Open and waived at ${place.name}`}
            rows={place.rows}
            currency={currency}
            locale={locale}
            act={
              mayChange
                ? ({ key, what, waiverId }) =>
                    waiverId === null ? (
                      <WaiveForm action={waiveChargeAction} charge={key} what={what} />
                    ) : (
                      <TakeBackWaiverForm action={takeBackWaiverAction} waiverId={waiverId} />
                    )
                : null
            }
          />
        </Sheet>
      ))}
    </>
  )
}
