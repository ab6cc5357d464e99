import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { Sheet } from '@/components/paper'
import { amount, PartForm } from '@/components/parts'
import { StepForm } from '@/components/people'
import { PageHead } from '@/components/shell'
import { newId } from '@/lib/new-id'
import { partPage } from '@/lib/office/parts/queries'
import { requireActor } from '@/lib/office/people/session'
import { archivePartAction, editPartAction } from '../actions'
import { FitsSheet } from './fits-sheet'
import { KeepSheet } from './keep-sheet'
import { MovesSheet } from './moves-sheet'
import { PlacesSheet } from './places-sheet'

export const metadata: Metadata = { title: 'Part' }

export default async function PartPage({ params }: { params: Promise<{ partId: string }> }) {
  const actor = await requireActor('parts.read')
  const partId = z.uuid().safeParse((await params).partId)
  const part = partId.success ? await partPage(actor, partId.data, new Date()) : null
  if (!part) notFound()
  const { typed, advised } = part
  const hidden = (more: Record<string, string> = {}) => ({
    ...{ commandId: newId(), businessId: actor.businessId, partId: part.partId },
    ...more,
  })
  const facts = hidden()
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
        {advised && <KeepSheet advised={advised} unit={typed.unit} locale={part.locale} today={part.today} />}
        <PlacesSheet part={part} hidden={hidden} />
        <FitsSheet part={part} hidden={hidden} />
        <MovesSheet part={part} hidden={hidden} />
        <Sheet title="What we know of it">
          <PartForm
            key={facts.commandId}
            action={editPartAction}
            hidden={facts}
            currency={part.currency}
            suppliers={part.suppliers}
            prices={part.prices}
            part={typed}
          />
          {!part.isArchived && (
            <StepForm
              ask="Take it off the list"
              words="It is no longer offered or reckoned with. What was used stays in the records."
              confirm="Yes, take it off"
              action={archivePartAction}
              hidden={hidden()}
            />
          )}
        </Sheet>
      </div>
    </>
  )
}
