import type { Metadata } from 'next'
import { RefusedEntriesTable, SettingsTabs } from '@/components/settings'
import { PageHead } from '@/components/shell'
import { requireActor } from '@/lib/office/people/session'
import { listRefusedEntries } from '@/lib/office/settings/refused-entries'

export const metadata: Metadata = { title: 'Refused entries' }

export default async function RefusedEntriesPage() {
  const actor = await requireActor('settings.change')
  const entries = await listRefusedEntries(actor)
  return (
    <>
      <PageHead
        title="Refused entries"
        over="Settings"
        sub="What somebody wrote on a phone and could not be taken over. It is kept; nothing of it counts."
      />
      <SettingsTabs current="/settings/refused-entries" />
      <RefusedEntriesTable entries={entries} />
    </>
  )
}
