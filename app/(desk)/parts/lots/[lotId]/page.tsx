import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { EditLotForm, LotShiftSheet, LotTickForm } from '@/components/lots'
import { DateWords, Sheet } from '@/components/paper'
import { PartsTabs } from '@/components/parts/parts-tabs'
import { PostForm } from '@/components/people'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { newId } from '@/lib/new-id'
import { lotPage } from '@/lib/office/lots/queries'
import { requireActor } from '@/lib/office/people/session'
import { editLotAction, takeBackUseAction, tickLotAction } from '../actions'

export const metadata: Metadata = { title: 'A lot' }

export default async function LotPage({ params }: { params: Promise<{ lotId: string }> }) {
  const actor = await requireActor('parts.read')
  const lotId = z.uuid().safeParse((await params).lotId)
  const page = lotId.success ? await lotPage(actor, lotId.data, new Date()) : null
  if (!page) notFound()
  const { lot, shifts, uses, tanks, today } = page
  const ids = () => ({ commandId: newId(), businessId: actor.businessId })
  const onIt = new Set(uses.map((use) => use.tankId)).size
  return (
    <div className="stack">
      <PageHead
        title={`${lot.kindWords}, lot ${lot.label}`}
        over="Lots"
        sub={
          <>
            {onIt === 0 ? 'Not used at any tank yet' : `Used at ${onIt === 1 ? 'one tank' : `${onIt} tanks`}`}
            {lot.receivedOn && (
              <>
                , came <DateWords date={lot.receivedOn} style="date" />
              </>
            )}
            {lot.usedUpOn ? (
              <>
                , used up <DateWords date={lot.usedUpOn} style="date" />.
              </>
            ) : (
              '.'
            )}
          </>
        }
      />
      <PartsTabs current="/parts/lots" />
      <LotShiftSheet shifts={shifts} />
      <Sheet title="Where it was used">
        <DataTable
          caption="Uses, newest first"
          captionHidden
          rows={uses}
          empty={<p className="soft">Nowhere yet. Tick tanks below, or at a visit under Work.</p>}
          columns={[
            {
              key: 'tank',
              header: 'Tank',
              cell: (use) => (
                <>
                  <PageLink href={`/tanks/${use.tankId}`}>{use.tankName}</PageLink>{' '}
                  <span className="soft small">{use.clientName}</span>
                </>
              ),
            },
            { key: 'day', header: 'Day', cell: (use) => <DateWords date={use.usedOn} style="date" /> },
            {
              key: 'visit',
              header: 'Said',
              cell: (use) =>
                use.visitId ? <PageLink href={`/visits/${use.visitId}`}>at a visit</PageLink> : 'at the desk',
            },
            {
              key: 'wrong',
              header: 'Correct',
              bare: true,
              cell: (use) => (
                <details>
                  <summary>Wrong?</summary>
                  <PostForm
                    action={takeBackUseAction}
                    hidden={{ ...ids(), useId: use.id }}
                    submit="It was not used there"
                    plain
                  />
                </details>
              ),
            },
          ]}
        />
        <details open={uses.length === 0}>
          <summary>Tick tanks that had it</summary>
          <LotTickForm
            key={uses.length}
            action={tickLotAction}
            ids={{ ...ids(), lotId: lot.id }}
            today={today}
            tanks={tanks}
          />
        </details>
      </Sheet>
      <Sheet title="About this lot">
        <EditLotForm action={editLotAction} ids={{ ...ids(), lotId: lot.id }} lot={lot} />
      </Sheet>
    </div>
  )
}
