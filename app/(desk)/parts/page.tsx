import type { Metadata } from 'next'
import { DateWords, Empty } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { partsUsed } from '@/lib/office/parts/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Parts' }

export default async function PartsPage() {
  const actor = await requireActor('parts.read')
  const parts = await partsUsed(actor, new Date())
  return (
    <div className="stack">
      <PageHead
        title="Parts"
        sub={parts.length === 0 ? 'Nothing was used in the last year.' : 'What went off the vans in the last year.'}
      />
      <DataTable
        caption="Parts used, the most used first"
        captionHidden
        rows={parts}
        rowKey={(part) => part.description}
        empty={
          <Empty title="No part used yet">
            <p>Parts written down at a visit are counted here.</p>
          </Empty>
        }
        columns={[
          { key: 'part', header: 'Part', width: '34%', cell: (part) => part.description },
          { key: 'quarter', header: 'Last 13 weeks', numeric: true, cell: (part) => part.quarter },
          { key: 'year', header: 'Last year', numeric: true, cell: (part) => part.year },
          { key: 'tanks', header: 'Tanks', numeric: true, cell: (part) => part.tanks },
          { key: 'last', header: 'Last used', cell: (part) => <DateWords date={part.lastUsedOn} style="short" /> },
          { key: 'unbilled', header: 'Not yet billed', numeric: true, cell: (part) => part.unbilled || '' },
        ]}
      />
    </div>
  )
}
