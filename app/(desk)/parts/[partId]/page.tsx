import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { Step } from '@/components/forms'
import { Awaited, Sheet } from '@/components/paper'
import { amount, PartForm } from '@/components/parts'
import { PageHead } from '@/components/shell'
import { partPage } from '@/lib/office/parts/queries'
import { partAskedSchema } from '@/lib/office/parts/schema'
import { requireActor } from '@/lib/office/people/session'
import { archivePartAction, editPartAction } from '../actions'
import { FitsSheet } from './fits-sheet'
import { KeepSheet } from './keep-sheet'
import { MovesSheet } from './moves-sheet'
import { PlacesSheet } from './places-sheet'

export const metadata: Metadata = { title: 'Part' }

type Props = {
  params: Promise<{ partId: string }>
  searchParams: Promise<Record<string, string | string[] | undefined>>
}

export default async function PartPage({ params, searchParams }: Props) {
  const actor = await requireActor('parts.read')
  const partId = z.uuid().safeParse((await params).partId)
  const asked = partAskedSchema.parse(await searchParams)
  const part = partId.success ? await partPage(actor, partId.data, new Date(), asked) : null
  if (!part) notFound()
  const { typed, advised } = part
  return (
    <>
      <PageHead
        over="Parts"
        title={typed.name}
        sub={
          part.isArchived
            ? 'Off the list.'
            : advised && advised.orderNow > 0
              ? `Order ${amount(advised.orderNow, typed.unit)} now.`
              : 'Nothing to order now.'
        }
      />
      <div className="stack">
        {part.isAwaited && <Awaited />}
        {advised && <KeepSheet part={part} advised={advised} />}
        <PlacesSheet part={part} />
        <FitsSheet part={part} />
        <MovesSheet part={part} />
        <Sheet title="What we know of it">
          <PartForm
            action={editPartAction}
            currency={part.currency}
            suppliers={part.suppliers}
            prices={part.prices}
            part={{ id: part.partId, fields: typed }}
          />
          {!part.isArchived && (
            <Step
              name="part.archive"
              ask="Take it off the list"
              confirm="Yes, take it off"
              action={archivePartAction}
              hidden={{ partId: part.partId }}
            >
              <p>It is no longer offered or reckoned with. What was used stays in the records.</p>
            </Step>
          )}
        </Sheet>
      </div>
    </>
  )
}
