import type { Metadata } from 'next'
import { notFound } from 'next/navigation'
import { z } from 'zod'
import { ImportReportSheets, WithdrawForm } from '@/components/old-records'
import { ButtonLink, DateWords, Facts, Notice, Sheet } from '@/components/paper'
import { PageHead } from '@/components/shell'
import { findImport } from '@/lib/office/old-records/queries'
import { requireActor } from '@/lib/office/people/session'
import { withdrawImportAction } from '../actions'

export const metadata: Metadata = { title: 'Import' }

type Props = { params: Promise<{ importId: string }> }

export default async function ImportPage({ params }: Props) {
  const actor = await requireActor('records.import')
  const importId = z.uuid().safeParse((await params).importId)
  const found = importId.success ? await findImport(actor, importId.data) : null
  if (!found) notFound()
  const { createdAt, withdrawnAt, broughtBy, files, report, warnings, writing } = found
  return (
    <>
      <PageHead
        over="Old records"
        title={
          <>
            Brought on <DateWords date={createdAt} style="moment" {...writing} />
          </>
        }
        sub={
          withdrawnAt
            ? 'Taken back: none of it shows anywhere.'
            : 'It is in: in the lists, the lanes and the dates of work due.'
        }
        actions={<ButtonLink href="/tanks">To the tanks</ButtonLink>}
      />
      <div className="stack">
        {withdrawnAt !== null && (
          <Notice title="Taken back">
            The same files can be brought again, and arrive in full. It was taken back on{' '}
            <DateWords date={withdrawnAt} style="moment" {...writing} />.
          </Notice>
        )}
        <Sheet title="The files">
          <Facts
            items={[
              ...files.map(({ name, kind, rows }) => ({ term: name, value: `${kind ?? 'not known'}, ${rows} rows` })),
              { term: 'Brought by', value: broughtBy },
            ]}
          />
        </Sheet>
        <ImportReportSheets report={report} warnings={warnings} done />
        {withdrawnAt === null && <WithdrawForm action={withdrawImportAction} batchId={found.id} />}
      </div>
    </>
  )
}
