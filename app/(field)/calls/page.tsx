import { z } from 'zod'
import { Field } from '@/components/forms'
import { Empty, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { FilterForm } from '@/components/tables'
import { tanksByWords } from '@/lib/office/calls/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata = { title: 'Somebody rings' }

const query = z.object({ search: z.string().trim().max(80).catch('') })

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function CallsPage({ searchParams }: Props) {
  const actor = await requireActor('register.read')
  const { search } = query.parse(await searchParams)
  const { tanks, more } = await tanksByWords(actor, search)
  return (
    <>
      <PageHead title="Somebody rings" sub="Find their tank; what to tell them comes next." />
      <FilterForm action="/calls" label="Find their tank">
        <Field name="search" label="Who or where" hint="A name, a street, a tank." defaultValue={search} />
      </FilterForm>
      {search !== '' && (
        <Sheet title={tanks.length === 0 ? 'Nothing found' : 'Which tank?'}>
          {tanks.length === 0 && (
            <Empty title="No tank has these words">
              Try one word only: the street, or the first letters of the name.
            </Empty>
          )}
          <ul className="visit-list">
            {tanks.map((tank) => (
              <li key={tank.id}>
                <a className="sign-link" href={`/calls/${tank.id}`}>
                  <span>
                    {tank.name}
                    <br />
                    <span className="soft small">
                      {[tank.clientName, tank.siteName, tank.city].filter(Boolean).join(', ')}
                    </span>
                  </span>
                </a>
              </li>
            ))}
          </ul>
          {more > 0 && <p className="soft">{more} more: add a word.</p>}
        </Sheet>
      )}
    </>
  )
}
