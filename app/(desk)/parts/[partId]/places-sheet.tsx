import { ButtonLink, DateWords, Empty, Sheet } from '@/components/paper'
import { amount, MoveForm, ReceiveForm, TakeOffForm } from '@/components/parts'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { moveStockAction, receiveAction, takeOffAction } from '../actions'
import type { PartView } from './part-views'

/** Where it lies, what is on its way, and the three things one does with it. */
export function PlacesSheet({ part }: { part: PartView }) {
  const { places, typed, orders, today, locale } = part
  const choices = places.map(({ id, name }) => ({ value: id, label: name }))
  const common = { partId: part.partId, places: choices, today }
  return (
    <Sheet title="Where it lies">
      <DataTable
        caption="What lies where"
        captionHidden
        rows={places}
        rowTone={({ quantity }) => (quantity < 0 ? 'call' : undefined)}
        empty={
          <Empty title="No shelf and no van yet">
            <p>Say where parts lie before they can be counted.</p>
            <ButtonLink href="/parts/vans">Shelf and vans</ButtonLink>
          </Empty>
        }
        columns={[
          {
            key: 'place',
            header: 'Place',
            cell: ({ name, personName }) => `${name}${personName ? `, ${personName}` : ''}`,
          },
          {
            key: 'quantity',
            header: 'On paper',
            numeric: true,
            cell: ({ id, quantity }) =>
              quantity < 0 ? (
                <PageLink href={`/parts/count/${id}`}>The book says {amount(quantity, typed.unit)}: count it</PageLink>
              ) : (
                amount(quantity, typed.unit)
              ),
          },
        ]}
      />
      {orders.map(({ id, left, expectedOn }) => (
        <p key={id}>
          {amount(left, typed.unit)} on the way
          {expectedOn && (
            <>
              , expected <DateWords date={expectedOn} locale={locale} today={today} />
            </>
          )}
          . <PageLink href="/parts/orders">Orders</PageLink>
        </p>
      ))}
      {choices.length > 0 && (
        <>
          <details>
            <summary>Some came in without an order</summary>
            <ReceiveForm action={receiveAction} {...common} />
          </details>
          {choices.length > 1 && (
            <details>
              <summary>Move some between shelf and van</summary>
              <MoveForm action={moveStockAction} {...common} />
            </details>
          )}
          <details>
            <summary>Some were thrown away or went back</summary>
            <TakeOffForm action={takeOffAction} {...common} />
          </details>
        </>
      )}
    </Sheet>
  )
}
