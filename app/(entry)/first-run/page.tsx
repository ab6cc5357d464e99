import type { Metadata } from 'next'
import { redirect } from 'next/navigation'
import { FirstRunForm } from '@/components/people'
import { PageHead } from '@/components/shell'
import { countryChoices } from '@/lib/office/frame/country'
import { firstRunCode, noBusinessYet } from '@/lib/office/people/first-run'
import { currencyChoices, timeZoneChoices } from '@/lib/office/settings/choices'
import { firstRunAction } from './actions'

export const metadata: Metadata = { title: 'Begin' }

export default async function FirstRunPage() {
  if (!(await noBusinessYet())) redirect('/sign-in')
  return (
    <>
      <PageHead title="Begin" sub="Nobody has signed in here yet. You become the owner of the first business." />
      <FirstRunForm
        action={firstRunAction}
        asksCode={firstRunCode() !== null}
        countries={countryChoices()}
        timeZones={timeZoneChoices()}
        currencies={currencyChoices()}
      />
    </>
  )
}
