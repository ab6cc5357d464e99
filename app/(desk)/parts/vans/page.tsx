import type { Metadata } from 'next'
import { z } from 'zod'
import { Step } from '@/components/forms'
import { dateWords, Empty, Sheet, TabLinks } from '@/components/paper'
import { amount, LoadLines, PartsTabs, PlaceForm } from '@/components/parts'
import { PageHead, PageLink } from '@/components/shell'
import { LOAD_SPANS, vansPage } from '@/lib/office/parts/queries'
import { requireActor } from '@/lib/office/people/session'
import { addPlaceAction, archivePlaceAction, editPlaceAction } from '../actions'

export const metadata: Metadata = { title: 'Vans' }

const askedSchema = z.object({ for: z.enum(LOAD_SPANS).catch('next-day'), van: z.uuid().optional().catch(undefined) })

type Props = { searchParams: Promise<Record<string, string | string[]>> }

export default async function VansPage({ searchParams }: Props) {
  const actor = await requireActor('parts.read')
  const asked = askedSchema.parse(await searchParams)
  const { vans, shelves, people, today, locale, span, otherVans } = await vansPage(
    actor,
    { span: asked.for, vanId: asked.van },
    new Date(),
  )
  const shownVan = otherVans.length > 0 ? vans[0]?.id : undefined
  const ofVan = shownVan ? `van=${shownVan}` : ''
  const drivers = people.map(({ id, name }) => ({ value: id, label: name }))
  const day = (date: string) => dateWords({ date, style: 'short', locale, today })
  const change = (place: (typeof shelves)[number] | (typeof vans)[number]) => {
    return (
      <details>
        <summary>Change this place</summary>
        <PlaceForm
          action={editPlaceAction}
          people={drivers}
          place={{ id: place.id, kind: place.kind, name: place.name, personId: place.personId ?? '' }}
        />
        <Step
          name="place.archive"
          ask="Take it out of use"
          confirm="Yes, take it out of use"
          action={archivePlaceAction}
          hidden={{ placeId: place.id }}
        >
          <p>It must be empty on paper. What moved through it stays in the records.</p>
        </Step>
      </details>
    )
  }
  return (
    <div className="stack">
      <PageHead over="Parts" title="Vans" sub="What each van holds and what it should take along." />
      <PartsTabs current="/parts/vans" />
      {vans.length > 0 && (
        <TabLinks
          label="Take along for"
          items={[
            { href: `/parts/vans?${ofVan}`, label: 'The next day out', current: span === 'next-day' },
            { href: `/parts/vans?for=week&${ofVan}`, label: 'The next seven days', current: span === 'week' },
          ]}
        />
      )}
      {otherVans.length > 0 && (
        <TabLinks
          label="Van"
          items={otherVans.map(({ id, name, isShown }) => ({
            href: `/parts/vans?for=${span}&van=${id}`,
            label: name,
            current: isShown,
          }))}
        />
      )}
      {vans.length + shelves.length === 0 && (
        <Empty title="No shelf and no van yet">
          <p>Add the shelf first, then each van with whoever drives it: what they use at visits comes off their van.</p>
        </Empty>
      )}
      {vans.map((van) => (
        <Sheet key={van.id} title={van.personName ? `${van.name}, ${van.personName}` : van.name}>
          <h3>Take along{van.load.days.length > 0 && ` for ${van.load.days.map(day).join(', ')}`}</h3>
          {van.load.lines.length > 0 ? (
            <LoadLines lines={van.load.lines} locale={locale} today={today} />
          ) : (
            <p className="soft">
              {van.personId === null
                ? 'Nobody drives it, so nobody knows where it goes.'
                : van.load.days.length === 0
                  ? 'No visit is booked.'
                  : 'Nothing in particular: no visit of these days is likely to use a part.'}
            </p>
          )}
          {van.bringBack.length > 0 && (
            <>
              <h3>Can go back to the shelf</h3>
              <p>
                {van.bringBack.map(({ name, spare, unit }) => `${amount(spare, unit)} × ${name}`).join(', ')}
                <span className="soft">: more than the visits of the next two weeks ask for.</span>
              </p>
            </>
          )}
          <Holds holds={van.holds} placeId={van.id} />
          {change(van)}
        </Sheet>
      ))}
      {shelves.map((shelf) => (
        <Sheet key={shelf.id} title={shelf.name}>
          <Holds holds={shelf.holds} placeId={shelf.id} />
          {change(shelf)}
        </Sheet>
      ))}
      <Sheet title="Add a shelf or a van">
        <PlaceForm action={addPlaceAction} people={drivers} />
      </Sheet>
    </div>
  )
}

type Held = { partId: string; name: string; unit: string; quantity: number }

function Holds({ holds, placeId }: { holds: readonly Held[]; placeId: string }) {
  return (
    <>
      <h3>Holds on paper</h3>
      <p>
        {holds.length === 0
          ? 'Nothing.'
          : holds.map(({ partId, name, unit, quantity }, place) => (
              <span key={partId} className={quantity < 0 ? 'call' : undefined}>
                {place > 0 && ', '}
                {amount(quantity, unit)} × {name}
              </span>
            ))}{' '}
        <PageLink href={`/parts/count/${placeId}`}>Count it</PageLink>
      </p>
    </>
  )
}
