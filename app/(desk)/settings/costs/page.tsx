import type { Metadata } from 'next'
import { z } from 'zod'
import { Empty, Sheet } from '@/components/paper'
import { CostsForm, SettingsTabs } from '@/components/settings'
import { PageHead } from '@/components/shell'
import { DataTable } from '@/components/tables'
import { requireActor } from '@/lib/office/people/session'
import { readCostTexts } from '@/lib/office/settings/queries'
import { changeCostsAction } from '../actions'

export const metadata: Metadata = { title: 'Costs' }

const query = z.object({ for: z.string().max(80).catch('*') })

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function CostsPage({ searchParams }: Props) {
  const actor = await requireActor('settings.change')
  const wanted = query.parse(await searchParams).for
  const { currency, version, costs, classes } = await readCostTexts(actor)
  const chosen = costs.find(({ equipmentClass }) => equipmentClass === wanted)
  return (
    <>
      <PageHead
        title="Costs"
        over="Settings"
        sub="How often work is worth doing follows from what it costs planned, and what it costs when we come too late."
      />
      <SettingsTabs current="/settings/costs" />
      <Sheet title={version > 0 ? `In force: statement ${version}` : 'In force'}>
        <DataTable
          caption="Costs in force"
          captionHidden
          rows={costs}
          rowKey={({ equipmentClass }) => equipmentClass}
          rowHref={({ equipmentClass }) => `/settings/costs?for=${encodeURIComponent(equipmentClass)}`}
          empty={<Empty title="None stated yet">Until you state your own, common figures of the trade are used.</Empty>}
          columns={[
            { key: 'class', header: 'For', cell: ({ className }) => className },
            { key: 'planned', header: 'Planned', cell: ({ planned }) => planned, numeric: true },
            { key: 'found', header: 'Found failed', cell: ({ found }) => found, numeric: true },
            { key: 'callOut', header: 'Call-out', cell: ({ callOut }) => callOut, numeric: true },
            { key: 'hidden', header: 'Hidden, a day', cell: ({ hiddenPerDay }) => hiddenPerDay, numeric: true },
            {
              key: 'share',
              header: 'Reported',
              cell: ({ shareReportedPercent }) => `${shareReportedPercent} %`,
              numeric: true,
            },
          ]}
        />
      </Sheet>
      <Sheet title="State costs">
        <CostsForm
          key={wanted}
          action={changeCostsAction}
          currency={currency}
          classes={classes}
          values={chosen ?? { equipmentClass: wanted, shareReportedPercent: '10', hiddenPerDay: '0' }}
        />
      </Sheet>
    </>
  )
}
