import type { Metadata } from 'next'
import { ButtonLink, Sheet } from '@/components/paper'
import { BusinessForm, SettingsTabs } from '@/components/settings'
import { PageHead } from '@/components/shell'
import { newId } from '@/lib/new-id'
import { requireActor } from '@/lib/office/people/session'
import { currencyChoices, localeChoices, timeZoneChoices } from '@/lib/office/settings/choices'
import { readSettings } from '@/lib/office/settings/queries'
import { changeBusinessSettingsAction } from './actions'

export const metadata: Metadata = { title: 'Settings' }

export default async function SettingsPage() {
  const actor = await requireActor('settings.change')
  const values = await readSettings(actor)
  return (
    <>
      <PageHead
        title="Settings"
        sub="What stands on invoices, and how things are written."
        actions={<ButtonLink href="/imports">Bring in old records</ButtonLink>}
      />
      <SettingsTabs current="/settings" />
      <Sheet>
        <BusinessForm
          action={changeBusinessSettingsAction}
          hidden={{ commandId: newId(), businessId: actor.businessId }}
          values={values}
          timeZones={timeZoneChoices()}
          currencies={currencyChoices()}
          locales={localeChoices()}
        />
      </Sheet>
    </>
  )
}
