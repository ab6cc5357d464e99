import type { Metadata } from 'next'
import { z } from 'zod'
import { CheckField, Field } from '@/components/forms'
import { ButtonLink, Empty, Pagination } from '@/components/paper'
import { PeopleTable } from '@/components/people'
import { PageHead } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { listPeople, PEOPLE_PER_PAGE } from '@/lib/office/people/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'People' }

const query = z.object({
  search: z.string().trim().max(80).catch(''),
  archived: z.literal('on').optional().catch(undefined),
  page: z.coerce.number().int().min(1).max(10_000).catch(1),
})

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function PeoplePage({ searchParams }: Props) {
  const actor = await requireActor('people.read')
  const { search, archived, page } = query.parse(await searchParams)
  const { people, total } = await listPeople(actor, { search, archived: archived === 'on', page })
  const first = (page - 1) * PEOPLE_PER_PAGE
  const href = (to: number) =>
    `/people?${new URLSearchParams({ search, page: String(to), ...(archived ? { archived } : {}) })}`
  return (
    <>
      <PageHead
        title="People"
        sub="Everybody who works here or looks in for a client, and how each of them gets in."
        actions={
          <ButtonLink href="/people/new" go>
            Add a person
          </ButtonLink>
        }
      />
      <FilterForm action="/people" label="Filter people" clearHref={search || archived ? '/people' : undefined}>
        <Field label="Name" name="search" defaultValue={search} type="search" />
        <CheckField label="Those put away" name="archived" value="on" defaultChecked={archived === 'on'} />
      </FilterForm>
      <PeopleTable people={people} empty={<Empty title="Nobody by that name">Try a part of the name.</Empty>} />
      <Pagination
        words={`People ${first + 1} to ${first + people.length} of ${total}`}
        previousHref={page > 1 ? href(page - 1) : undefined}
        nextHref={first + people.length < total ? href(page + 1) : undefined}
      />
    </>
  )
}
