import type { Metadata } from 'next'
import { redirect } from 'next/navigation'
import { DateWords, Empty, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { ourTanks } from '@/lib/office/client-record/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Our tanks' }

export default async function OurTanksPage() {
  const actor = await requireActor('record.read')
  const { tanks, invoices } = await ourTanks(actor, new Date())
  const [only] = tanks
  if (only && tanks.length === 1) redirect(`/our-tanks/${only.tankId}`)
  return (
    <div className="stack">
      <PageHead title="Our tanks" />
      {tanks.length === 0 && (
        <Empty title="No tank yet">
          <p>As soon as we look after a tank of yours, its record stands here.</p>
        </Empty>
      )}
      {tanks.map((tank) => (
        <Sheet key={tank.tankId}>
          <h2>
            <PageLink href={`/our-tanks/${tank.tankId}`}>{tank.name}</PageLink>
          </h2>
          <p className="soft">{tank.siteName}</p>
          {tank.state && <p className={tank.state.isFine ? undefined : 'call'}>{tank.state.words}</p>}
          <p>
            {tank.lastVisitOn ? (
              <>
                Last visit <DateWords date={tank.lastVisitOn} style="day" />.{' '}
              </>
            ) : (
              'Not visited yet. '
            )}
            {tank.next ? (
              <>
                Next <DateWords date={tank.next.date} style="day" />
                {tank.next.window && `, ${tank.next.window}`}.
              </>
            ) : (
              'The next visit is not planned yet.'
            )}
          </p>
          {tank.waiting.map(({ id, askedOn }) => (
            <p key={id}>
              You asked for a visit on <DateWords date={askedOn} style="short" />. We have it and will answer soon.
            </p>
          ))}
        </Sheet>
      ))}
      {invoices > 0 && (
        <p>
          <PageLink href="/our-tanks/invoices">Invoices</PageLink>
        </p>
      )}
    </div>
  )
}
