import type { Metadata } from 'next'
import { ButtonLink, Notice, Sheet } from '@/components/paper'
import { BusinessForm, LogoForm, SettingsTabs } from '@/components/settings'
import { PageHead, PageLink } from '@/components/shell'
import { requireActor } from '@/lib/office/people/session'
import { currencyChoices, localeChoices, timeZoneChoices } from '@/lib/office/settings/choices'
import { settingsPage } from '@/lib/office/settings/queries'
import { changeBusinessSettingsAction, removeLogoAction } from './actions'

export const metadata: Metadata = { title: 'Settings' }

export default async function SettingsPage() {
  const actor = await requireActor('settings.change')
  const { values, nextNumbers, logoSha256, pricesTaxedOtherwise } = await settingsPage(actor)
  return (
    <>
      <PageHead
        title="Settings"
        sub="What stands on invoices, and how things are written."
        actions={<ButtonLink href="/imports">Bring in old records</ButtonLink>}
      />
      <SettingsTabs current="/settings" />
      {pricesTaxedOtherwise > 0 && (
        <Notice>
          {pricesTaxedOtherwise === 1 ? 'One price does' : `${pricesTaxedOtherwise} prices do`} not go with the tax
          stated here. <PageLink href="/money/prices">Change all at once</PageLink>
        </Notice>
      )}
      <Sheet>
        <BusinessForm
          action={changeBusinessSettingsAction}
          values={values}
          timeZones={timeZoneChoices()}
          currencies={currencyChoices()}
          locales={localeChoices()}
          nextNumbers={nextNumbers}
        />
      </Sheet>
      <Sheet title="Logo on invoices">
        <LogoForm removeAction={removeLogoAction} sha256={logoSha256} />
      </Sheet>
    </>
  )
}
