import type { Metadata } from 'next'
import { ClientTable } from '@/components/clients'
import { CheckField, Field } from '@/components/forms'
import { ButtonLink, Empty, Pagination } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { listClients } from '@/lib/office/clients/queries'
import { searchSchema } from '@/lib/office/clients/schema'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Clients' }

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function ClientsPage({ searchParams }: Props) {
  const actor = await requireActor('register.change')
  const search = searchSchema.parse(await searchParams)
  const { rows, total, page, pages } = await listClients(actor, search)
  const href = (to: number) =>
    `/clients?${new URLSearchParams({ q: search.q, archived: search.archived, page: String(to) })}`
  const filtered = search.q !== '' || search.archived !== ''
  return (
    <>
      <PageHead
        title="Clients"
        sub={`${total} ${total === 1 ? 'client' : 'clients'}${filtered ? ' found' : ''}: who pays, and for which sites.`}
        actions={
          <>
            <ButtonLink href="/clients/new" go>
              Add a client
            </ButtonLink>
            <ButtonLink href="/clients/merge" quiet>
              Entered twice?
            </ButtonLink>
            <ButtonLink href="/tanks" quiet>
              Tanks
            </ButtonLink>
          </>
        }
      />
      <FilterForm action="/clients" label="Filter clients" {...(filtered ? { clearHref: '/clients' } : {})}>
        <Field label="Name, e-mail or address" name="q" defaultValue={search.q} type="search" />
        <CheckField label="Archived ones" name="archived" value="yes" defaultChecked={search.archived === 'yes'} />
      </FilterForm>
      <ClientTable
        rows={rows}
        empty={
          filtered ? (
            <Empty title="No client like that">Try a part of the name or the street.</Empty>
          ) : (
            <Empty title="No clients yet">Add the first one, then its site, then its tank.</Empty>
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
