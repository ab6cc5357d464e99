import type { Metadata } from 'next'
import { Awaited, ButtonLink, DateWords, Empty, quantityWords, Sheet } from '@/components/paper'
import { amount, PartsTabs } from '@/components/parts'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import type { PartUse } from '@/lib/office/parts/parts-used'
import { partsPage } from '@/lib/office/parts/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Parts' }

export default async function PartsPage() {
  const actor = await requireActor('parts.read')
  const { rows, used, hasPlaces, isAwaited, locale, timeZone } = await partsPage(actor, new Date())
  const toOrder = rows.filter(({ orderNow }) => orderNow > 0).length
  const toCount = rows.flatMap(({ belowZero }) => belowZero)
  return (
    <div className="stack">
      <PageHead
        title="Parts"
        sub={
          rows.length === 0
            ? undefined
            : toOrder === 0
              ? 'Nothing has to be ordered today.'
              : `${toOrder} ${toOrder === 1 ? 'part has' : 'parts have'} to be ordered.`
        }
        actions={
          <ButtonLink href="/parts/new" go={rows.length === 0}>
            Add a part
          </ButtonLink>
        }
      />
      <PartsTabs current="/parts" />
      {isAwaited && <Awaited />}
      {rows.length > 0 && !hasPlaces && (
        <Empty title="Nowhere to put them yet">
          <p>Say where parts lie: a shelf, and each van with whoever drives it.</p>
          <ButtonLink href="/parts/vans" go>
            Shelf and vans
          </ButtonLink>
        </Empty>
      )}
      {toCount.length > 0 && (
        <Sheet title="Count these" tone="call">
          <ul className="visit-list">
            {rows.flatMap((row) =>
              row.belowZero.map(({ placeId, name, quantity }) => (
                <li key={`${row.id} ${placeId}`}>
                  <PageLink href={`/parts/count/${placeId}`}>Count {name}</PageLink>: the book says{' '}
                  {amount(quantity, row.unit)} of {row.name}. More was used than lay there on paper.
                </li>
              )),
            )}
          </ul>
        </Sheet>
      )}
      <DataTable
        caption="Parts, what must be ordered first"
        captionHidden
        rows={rows}
        rowHref={({ id }) => `/parts/${id}`}
        rowTone={({ orderNow, belowZero }) => (orderNow > 0 || belowZero.length > 0 ? 'call' : undefined)}
        empty={
          <Empty title="No part is kept yet">
            <p>
              Add what wears out and is renewed: lamps, tubes, seals. Say which work uses it, and this page reckons from
              the devices on your round how many to keep, when to order and what each van should take along.
            </p>
          </Empty>
        }
        columns={[
          { key: 'part', header: 'Part', width: '22%', cell: ({ name }) => name },
          { key: 'shelf', header: 'Shelf', numeric: true, cell: ({ onShelf, unit }) => amount(onShelf, unit) },
          { key: 'vans', header: 'Vans', numeric: true, cell: ({ inVans, unit }) => amount(inVans, unit) },
          {
            key: 'order',
            header: 'On its way',
            numeric: true,
            cell: ({ onOrder, unit }) => (onOrder === 0 ? '' : amount(onOrder, unit)),
          },
          {
            key: 'expected',
            header: 'Likely needed',
            numeric: true,
            cell: ({ expected, coverDays }) => (
              <>
                {quantityWords({ value: expected, decimals: 1 })}{' '}
                <span className="soft small">in {coverDays} days</span>
              </>
            ),
          },
          {
            key: 'keep',
            header: 'Keep at least',
            numeric: true,
            cell: ({ keepAtLeast, unit }) => amount(keepAtLeast, unit),
          },
          {
            key: 'now',
            header: 'Order now',
            numeric: true,
            cell: ({ orderNow, unit }) => (orderNow > 0 ? <b className="call">{amount(orderNow, unit)}</b> : ''),
          },
        ]}
      />
      {rows.length > 0 && (
        <p className="soft small">
          Open a part to see why. “Likely needed” counts the days until new ones come and a week until you look again.
        </p>
      )}
      <Sheet title="What went off the vans in the last year">
        {used === null ? <Awaited /> : <UsedTable used={used.answer} />}
        {used?.madeAt && (
          <p className="soft small">
            As it stood at <DateWords date={used.madeAt} style="moment" locale={locale} timeZone={timeZone} />.
          </p>
        )}
      </Sheet>
    </div>
  )
}

function UsedTable({ used }: { used: readonly PartUse[] }) {
  return (
    <DataTable
      caption="Parts used, the most used first"
      captionHidden
      rows={used}
      rowKey={(part) => part.description}
      empty={
        <Empty title="No part used yet">
          <p>Parts written down at a visit are counted here.</p>
        </Empty>
      }
      columns={[
        { key: 'part', header: 'Part', width: '34%', cell: (part) => part.description },
        {
          key: 'quarter',
          header: 'Last 13 weeks',
          numeric: true,
          cell: (part) => quantityWords({ value: part.quarter }),
        },
        { key: 'year', header: 'Last year', numeric: true, cell: (part) => quantityWords({ value: part.year }) },
        { key: 'tanks', header: 'Tanks', numeric: true, cell: (part) => part.tanks },
        { key: 'last', header: 'Last used', cell: (part) => <DateWords date={part.lastUsedOn} style="short" /> },
        { key: 'unbilled', header: 'Not yet billed', numeric: true, cell: (part) => part.unbilled || '' },
      ]}
    />
  )
}
