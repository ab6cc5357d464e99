import type { Metadata } from 'next'
import { z } from 'zod'
import { ButtonLink, Empty, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { TakeOverForm } from '@/components/tanks'
import { requireActor } from '@/lib/office/people/session'
import { tankFormChoices } from '@/lib/office/tanks/queries'
import { addTankAction } from '../actions'

export const metadata: Metadata = { title: 'Take on a tank' }

const query = z.object({ site: z.uuid().catch('') })
type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function NewTankPage({ searchParams }: Props) {
  const actor = await requireActor('register.change')
  const { site } = query.parse(await searchParams)
  const choices = await tankFormChoices(actor)
  return (
    <>
      <PageHead
        over="Tanks"
        title="Take on a tank"
        sub="What is there, how old it is, and what was wrong with it before we touched it."
      />
      <Sheet>
        {choices.sites.length === 0 ? (
          <Empty title="A tank stands at a site">
            <p>Add the client and the site first; then come back.</p>
            <ButtonLink href="/clients" go>
              Clients and sites
            </ButtonLink>
          </Empty>
        ) : (
          <TakeOverForm
            action={addTankAction}
            sites={choices.sites}
            kinds={choices.kinds}
            classes={choices.classes}
            volumeUnit={choices.volumeUnit}
            unitWords={choices.volumeUnitWords}
            siteId={site}
            today={choices.today}
          />
        )}
      </Sheet>
    </>
  )
}
