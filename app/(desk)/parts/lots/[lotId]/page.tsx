import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { Field, Form } from '@/components/forms'
import { EditLotForm, LotShiftSheet, LotTickForm } from '@/components/lots'
import { Awaited, DateWords, Pages, Sheet } from '@/components/paper'
import { PartsTabs } from '@/components/parts/parts-tabs'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable, FilterForm } from '@/components/tables'
import { lotPage } from '@/lib/office/lots/queries'
import { requireActor } from '@/lib/office/people/session'
import { editLotAction, takeBackUseAction, tickLotAction } from '../actions'

export const metadata: Metadata = { title: 'A lot' }

const askedSchema = z.object({
  q: z.string().max(100).catch('').default(''),
  page: z.coerce.number().int().min(1).catch(1),
})
type Props = { params: Promise<{ lotId: string }>; searchParams: Promise<Record<string, string | string[]>> }

export default async function LotPage({ params, searchParams }: Props) {
  const actor = await requireActor('parts.read')
  const lotId = z.uuid().safeParse((await params).lotId)
  const asked = askedSchema.parse(await searchParams)
  const shown = { search: asked.q, page: asked.page }
  const page = lotId.success ? await lotPage(actor, lotId.data, new Date(), shown) : null
  if (!page) notFound()
  const { lot, shifts, uses, tanks, today, moreTanks, usePages } = page
  const href = `/parts/lots/${lot.id}`
  const onIt = page.tanksOnIt
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
      {page.isAwaited && <Awaited />}
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
                  <Form
                    name="lot.take-back"
                    action={takeBackUseAction}
                    hidden={{ useId: use.id }}
                    submit="It was not used there"
                    plain
                  />
                </details>
              ),
            },
          ]}
        />
        <Pages of="Uses" {...usePages} hrefOf={(number) => `${href}?page=${number}`} />
        <details open={uses.length === 0 || asked.q !== ''}>
          <summary>Tick tanks that had it</summary>
          {(moreTanks > 0 || asked.q !== '') && (
            <FilterForm action={href} label="Which tanks" clearHref={asked.q === '' ? undefined : href}>
              <Field label="Words of the tank’s or client’s name" name="q" type="search" defaultValue={asked.q} />
            </FilterForm>
          )}
          <LotTickForm action={tickLotAction} lotId={lot.id} today={today} tanks={tanks} />
        </details>
      </Sheet>
      <Sheet title="About this lot">
        <EditLotForm action={editLotAction} lot={lot} />
      </Sheet>
    </div>
  )
}
