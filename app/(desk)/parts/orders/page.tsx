import type { Metadata } from 'next'
import { Step } from '@/components/forms'
import { Awaited, DateWords, dateWords, Empty, Money, quantityWords, Sheet } from '@/components/paper'
import { amount, OrderForm, PartsTabs, ReceiveForm } from '@/components/parts'
import { PageHead, PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { ordersPage } from '@/lib/office/parts/queries'
import { requireActor } from '@/lib/office/people/session'
import { closeOrderAction, placeOrdersAction, receiveAction } from '../actions'

export const metadata: Metadata = { title: 'Orders' }

const count = (value: number) => quantityWords({ value })

export default async function OrdersPage() {
  const actor = await requireActor('parts.read')
  const page = await ordersPage(actor, new Date())
  const { groups, open, closed, today, locale, currency, places } = page
  const waiting = groups.filter(({ lines }) => lines.some(({ orderNow }) => orderNow > 0)).length
  const day = (date: string) => dateWords({ date, style: 'short', locale, today })
  return (
    <div className="stack">
      <PageHead
        over="Parts"
        title="Orders"
        sub={
          waiting === 0
            ? 'Nothing has to be ordered today.'
            : `${waiting} ${waiting === 1 ? 'order waits' : 'orders wait'} to be placed.`
        }
      />
      <PartsTabs current="/parts/orders" />
      {page.isAwaited && <Awaited />}
      {groups.length === 0 && (
        <Empty title="Nothing to order">
          <p>Add parts first; what to order is reckoned from the devices that use them.</p>
          <PageLink href="/parts/new">Add a part</PageLink>
        </Empty>
      )}
      {groups.map(({ supplier, lines }) => {
        const wanted = lines.filter(({ orderNow }) => orderNow > 0)
        const sum = wanted.reduce((all, { orderNow, costMinor }) => all + Math.round(orderNow * costMinor), 0)
        const rows = (some: typeof lines) =>
          some.map(({ partId, name, unit, orderNow, words, onHand, onOrder, packSize, shortAt, toCount }) => ({
            ...{ partId, name, unit, suggested: orderNow > 0 ? String(orderNow) : '' },
            about: [
              words,
              `On hand ${amount(onHand, unit)}${onOrder > 0 ? `, on its way ${amount(onOrder, unit)}` : ''}.`,
              ...toCount.map(
                ({ name, quantity }) => `The book says ${amount(quantity, unit)} in ${name}: count it first.`,
              ),
              packSize > 1 && `Packs of ${packSize}.`,
              shortAt[0] && `Missing on ${day(shortAt[0].on)}: ${shortAt[0].place}.`,
            ]
              .filter(Boolean)
              .join(' '),
          }))
        return (
          <Sheet
            key={supplier?.id ?? 'none'}
            title={supplier?.name ?? 'No supplier yet'}
            {...(wanted.length > 0 ? { tone: 'call' as const } : {})}
          >
            <p>
              {wanted.length === 0
                ? 'Nothing has to be ordered here.'
                : `To order now: ${wanted.length} of ${lines.length} ${lines.length === 1 ? 'part' : 'parts'}`}
              {sum > 0 && (
                <>
                  , about <Money minor={sum} currency={currency} locale={locale} /> without tax
                </>
              )}
              {wanted.length > 0 && '.'}
            </p>
            {supplier && (
              <p className="soft small">
                {[
                  supplier.email,
                  supplier.phone,
                  `usually ${supplier.leadTimeDays} ${supplier.leadTimeDays === 1 ? 'day' : 'days'}`,
                ]
                  .filter(Boolean)
                  .join(' · ')}
              </p>
            )}
            <details open={wanted.length > 0}>
              <summary>{wanted.length > 0 ? 'The order' : 'Order something all the same'}</summary>
              <OrderForm
                action={placeOrdersAction}
                supplierId={supplier?.id ?? ''}
                rows={rows(wanted.length > 0 ? lines.toSorted((a, b) => b.orderNow - a.orderNow) : lines)}
                today={today}
              />
            </details>
          </Sheet>
        )
      })}
      <Sheet title="On its way">
        {open.length === 0 && (
          <Empty title="Nothing is on its way">
            <p>What is written down as ordered stands here until it has come.</p>
          </Empty>
        )}
        <ul className="visit-list">
          {open.map((order) => {
            return (
              <li key={order.id}>
                <b>{amount(order.left, order.unit)}</b>
                {order.left < order.quantity && ` of ${amount(order.quantity, order.unit)}`} ×{' '}
                <PageLink href={`/parts/${order.partId}`}>{order.name}</PageLink>
                {order.supplierName && `, ${order.supplierName}`}, ordered {day(order.orderedOn)}
                {order.expectedOn && (
                  <>
                    ,{' '}
                    <span className={order.isLate ? 'call' : undefined}>
                      {order.isLate ? 'was expected' : 'expected'} {day(order.expectedOn)}
                    </span>
                  </>
                )}
                {order.note && <span className="soft small">, {order.note}</span>}
                <details>
                  <summary>It came</summary>
                  <ReceiveForm
                    action={receiveAction}
                    partId={order.partId}
                    places={places.map(({ id, name }) => ({ value: id, label: name }))}
                    today={today}
                    order={order}
                  />
                </details>
                <Step
                  name="order.close"
                  ask="The rest will not come"
                  confirm="Yes, close it"
                  action={closeOrderAction}
                  hidden={{ orderId: order.id }}
                >
                  <p>The order is closed; what is missing is reckoned as not ordered.</p>
                </Step>
              </li>
            )
          })}
        </ul>
      </Sheet>
      {closed.length > 0 && (
        <Sheet title="Came lately">
          <DataTable
            caption="Orders that are closed, the newest first"
            captionHidden
            rows={closed}
            columns={[
              { key: 'part', header: 'Part', cell: ({ name }) => name },
              { key: 'supplier', header: 'Supplier', cell: ({ supplierName }) => supplierName },
              {
                key: 'ordered',
                header: 'Ordered',
                cell: ({ orderedOn }) => <DateWords date={orderedOn} locale={locale} />,
              },
              {
                key: 'closed',
                header: 'Closed',
                cell: ({ closedOn }) => <DateWords date={closedOn} locale={locale} />,
              },
              {
                key: 'received',
                header: 'Came',
                numeric: true,
                cell: ({ received, quantity }) =>
                  received === quantity ? count(received) : `${count(received)} of ${count(quantity)}`,
              },
            ]}
          />
        </Sheet>
      )}
    </div>
  )
}
