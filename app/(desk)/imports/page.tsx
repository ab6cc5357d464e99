import type { Metadata } from 'next'
import { z } from 'zod'
import { ImportsTable } from '@/components/old-records'
import { ButtonLink, Empty, Pagination } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { IMPORTS_PER_PAGE, listImports } from '@/lib/office/old-records/queries'
import { requireActor } from '@/lib/office/people/session'

export const metadata: Metadata = { title: 'Old records' }

const query = z.object({ page: z.coerce.number().int().min(1).max(10_000).catch(1) })

type Props = { searchParams: Promise<Record<string, string | string[] | undefined>> }

export default async function ImportsPage({ searchParams }: Props) {
  const actor = await requireActor('records.import')
  const { page } = query.parse(await searchParams)
  const { imports, total, writing } = await listImports(actor, page)
  const first = (page - 1) * IMPORTS_PER_PAGE
  return (
    <>
      <PageHead
        over="Settings"
        title="Old records"
        sub="What was brought from spreadsheets. Each can be taken back whole until later work hangs on it."
        actions={
          <ButtonLink href="/imports/new" go>
            Bring in old records
          </ButtonLink>
        }
      />
      <ImportsTable
        imports={imports}
        writing={writing}
        empty={
          <Empty title="Nothing was brought yet">
            Clients, tanks, equipment and visits from old spreadsheets: the past then tells when each device is due.
          </Empty>
        }
      />
      <Pagination
        words={`Imports ${first + 1} to ${first + imports.length} of ${total}`}
        previousHref={page > 1 ? `/imports?page=${page - 1}` : undefined}
        nextHref={first + imports.length < total ? `/imports?page=${page + 1}` : undefined}
      />
    </>
  )
}
