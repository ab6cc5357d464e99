import type { Metadata } from 'next'
import { Step } from '@/components/forms'
import { Empty, quantityWords, Sheet } from '@/components/paper'
import { PartsTabs, SupplierForm } from '@/components/parts'
import { PageHead } from '@/components/shell'
import { suppliersPage } from '@/lib/office/parts/queries'
import { requireActor } from '@/lib/office/people/session'
import { addSupplierAction, archiveSupplierAction, editSupplierAction } from '../actions'

export const metadata: Metadata = { title: 'Suppliers' }

const dayCount = (days: number) => `${quantityWords({ value: days })} ${days === 1 ? 'day' : 'days'}`

export default async function SuppliersPage() {
  const actor = await requireActor('parts.read')
  const { suppliers } = await suppliersPage(actor)
  return (
    <div className="stack">
      <PageHead over="Parts" title="Suppliers" sub="Whom parts come from and how long they take." />
      <PartsTabs current="/parts/suppliers" />
      {suppliers.length === 0 && (
        <Empty title="No supplier yet">
          <p>How long a supplier takes decides how many to keep.</p>
        </Empty>
      )}
      {suppliers.map(({ id, name, email, phone, note, leadTimeDays, parts, took }) => {
        return (
          <Sheet key={id} title={name}>
            <p>
              {dayCount(leadTimeDays)} by what we know
              {took &&
                `; the last ${took.deliveries} ${took.deliveries === 1 ? 'delivery' : 'deliveries'} took ${dayCount(Math.round(took.days))} on average`}
              . {parts === 1 ? '1 part comes' : `${parts} parts come`} from here.
            </p>
            <p className="soft">{[email, phone, note].filter(Boolean).join(' · ')}</p>
            <details>
              <summary>Change</summary>
              <SupplierForm
                action={editSupplierAction}
                supplier={{ id, name, email, phone, note, leadTimeDays: String(leadTimeDays) }}
              />
              <Step
                name="supplier.archive"
                ask="Take off the list"
                confirm="Yes, take off the list"
                action={archiveSupplierAction}
                hidden={{ supplierId: id }}
              >
                <p>Parts and orders keep the name; nothing new is ordered there.</p>
              </Step>
            </details>
          </Sheet>
        )
      })}
      <Sheet title="Add a supplier">
        <SupplierForm action={addSupplierAction} />
      </Sheet>
    </div>
  )
}
