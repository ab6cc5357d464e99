import type { Metadata } from 'next'
import { notFound, redirect } from 'next/navigation'
import { z } from 'zod'
import { SiteFacts } from '@/components/clients'
import { Step } from '@/components/forms'
import { ButtonLink, Empty, Notice, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { findSite } from '@/lib/office/clients/queries'
import { requireActor } from '@/lib/office/people/session'
import { archiveSiteAction, restoreSiteAction } from '../../actions'

export const metadata: Metadata = { title: 'Site' }

export default async function SitePage({ params }: { params: Promise<{ siteId: string }> }) {
  const actor = await requireActor('register.change')
  const siteId = z.uuid().safeParse((await params).siteId)
  const site = siteId.success ? await findSite(actor, siteId.data) : null
  if (!site) notFound()
  if (site.mergedIntoId) redirect(`/clients/sites/${site.mergedIntoId}`)
  const { id } = site
  return (
    <>
      <PageHead
        over={<PageLink href={`/clients/${site.fields.clientId}`}>{site.clientName}</PageLink>}
        title={site.fields.name}
        actions={
          <>
            <ButtonLink href={`/tanks/new?site=${id}`} go>
              Take on a tank
            </ButtonLink>
            <ButtonLink href={`/clients/sites/${id}/edit`}>Change</ButtonLink>
          </>
        }
      />
      {site.isArchived && <Notice title="Archived">Nothing is planned at this site.</Notice>}
      <div className="halves">
        <Sheet title="Getting there">
          <SiteFacts fields={site.fields} windows={site.windows} payerName={site.payerName} />
        </Sheet>
        <div className="stack">
          <Sheet title="Tanks">
            {site.tanks.length === 0 && <Empty title="No tank yet">Take on the first one.</Empty>}
            <ul>
              {site.tanks.map((tank) => (
                <li key={tank.id}>
                  <PageLink href={`/tanks/${tank.id}`}>{tank.name}</PageLink>
                  {tank.clientName !== site.clientName && `, ${tank.clientName}`}
                  {tank.isArchived && ' (archived)'}
                </li>
              ))}
            </ul>
          </Sheet>
          <Sheet title="Put in order">
            <div className="actions">
              {site.isArchived ? (
                <Step
                  ask="Take out of the archive"
                  confirm="Yes, take it out"
                  name="site.restore"
                  hidden={{ id }}
                  action={restoreSiteAction}
                >
                  <p>Tanks can stand here again.</p>
                </Step>
              ) : (
                <Step
                  ask="Archive this site"
                  confirm="Yes, archive"
                  name="site.archive"
                  hidden={{ id }}
                  action={archiveSiteAction}
                >
                  <p>It leaves the lists; everything that happened stays. It can be taken out again.</p>
                </Step>
              )}
              <ButtonLink href={`/clients/sites/merge?keep=${id}`}>Merge with another entry</ButtonLink>
            </div>
          </Sheet>
        </div>
      </div>
    </>
  )
}
