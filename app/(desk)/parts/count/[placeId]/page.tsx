import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { ButtonLink, dateWords, Empty, Sheet } from '@/components/paper'
import { amount, CountForm } from '@/components/parts'
import { PageHead } from '@/components/shell'
import { countPage } from '@/lib/office/parts/queries'
import { requireActor } from '@/lib/office/people/session'
import { countAction } from '../../actions'

export const metadata: Metadata = { title: 'Count' }

export default async function CountPage({ params }: { params: Promise<{ placeId: string }> }) {
  const actor = await requireActor('parts.change')
  const placeId = z.uuid().safeParse((await params).placeId)
  const page = placeId.success ? await countPage(actor, placeId.data, new Date()) : null
  if (!page) notFound()
  const { name, parts, today, lastCountOn, locale } = page
  return (
    <>
      <PageHead
        over="Parts"
        title={`Count ${name}`}
        sub={
          lastCountOn === null
            ? 'Never counted before.'
            : `Last counted ${dateWords({ date: lastCountOn, style: 'date', locale, today })}.`
        }
        actions={<ButtonLink href="/parts/vans">Back to the vans</ButtonLink>}
      />
      <Sheet>
        {parts.length === 0 ? (
          <Empty title="No part is kept yet">
            <ButtonLink href="/parts/new">Add a part</ButtonLink>
          </Empty>
        ) : (
          <>
            <p>Write what is there. What you leave blank stays as it is.</p>
            <CountForm
              action={countAction}
              placeId={page.placeId}
              today={today}
              rows={parts.map((part) => ({
                ...{ partId: part.id, name: part.name, unit: part.unit, suggested: '' },
                about: `On paper ${amount(part.onPaper, part.unit)}`,
              }))}
            />
          </>
        )}
      </Sheet>
    </>
  )
}
