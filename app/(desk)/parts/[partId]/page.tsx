import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { Step } from '@/components/forms'
import { Awaited, Sheet } from '@/components/paper'
import { amount, PartForm } from '@/components/parts'
import { PageHead } from '@/components/shell'
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
        {advised && <KeepSheet advised={advised} unit={typed.unit} locale={part.locale} today={part.today} />}
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
