import type { Metadata } from 'next'
import { CheckField, Field } from '@/components/forms'
import { ButtonLink, Empty, Pagination } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { TankTable } from '@/components/tanks'
import { searchSchema } from '@/lib/office/clients/schema'
import { mayDo } from '@/lib/office/frame/role-actions'
import { requireActor } from '@/lib/office/people/session'
import { listTanks } from '@/lib/office/tanks/queries'

export const metadata: Metadata = { title: 'Tanks' }

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function TanksPage({ searchParams }: Props) {
  const actor = await requireActor('register.read')
  const search = searchSchema.parse(await searchParams)
  const { rows, total, page, pages, locale } = await listTanks(actor, search)
  const href = (to: number) =>
    `/tanks?${new URLSearchParams({ q: search.q, archived: search.archived, page: String(to) })}`
  const filtered = search.q !== '' || search.archived !== ''
  return (
    <>
      <PageHead
        title="Tanks"
        sub={`${total} ${total === 1 ? 'tank' : 'tanks'}${filtered ? ' found' : ' in care'}.`}
        actions={
          mayDo(actor.roles, 'register.change') && (
            <>
              <ButtonLink href="/tanks/new" go>
                Take on a tank
              </ButtonLink>
              <ButtonLink href="/clients">Clients and sites</ButtonLink>
              <ButtonLink href="/tanks/merge" quiet>
                Entered twice?
              </ButtonLink>
            </>
          )
        }
      />
      <FilterForm action="/tanks" label="Filter tanks" {...(filtered ? { clearHref: '/tanks' } : {})}>
        <Field label="Tank, site, client or address" name="q" defaultValue={search.q} type="search" />
        <CheckField label="Archived ones" name="archived" value="yes" defaultChecked={search.archived === 'yes'} />
      </FilterForm>
      <TankTable
        rows={rows}
        locale={locale}
        empty={
          filtered ? (
            <Empty title="No tank like that">Try a part of the name, the site or the street.</Empty>
          ) : (
            <Empty title="No tanks yet">
              <p>Take on the first one, or bring in the records you have.</p>
              {mayDo(actor.roles, 'records.import') && (
                <ButtonLink href="/imports/new">Bring in old records</ButtonLink>
              )}
            </Empty>
          )
        }
      />
      <Pagination
        words={`Page ${page} of ${pages}`}
        {...(page > 1 ? { previousHref: href(page - 1) } : {})}
        {...(page < pages ? { nextHref: href(page + 1) } : {})}
      />
    </>
  )
}
