import type { Metadata } from 'next'
import { notFound, redirect } from 'next/navigation'
import { z } from 'zod'
import { ClientFacts, ClientInvoices, ClientSites } from '@/components/clients'
import { Step } from '@/components/forms'
import { ClientCostForm } from '@/components/intervals'
import { BalanceFacts } from '@/components/money'
import { ButtonLink, Notice, Sheet } from '@/components/paper'
import { PageHead, PageLink } from '@/components/shell'
import { findClient } from '@/lib/office/clients/queries'
import { clientCostNow } from '@/lib/office/intervals/queries'
import { minorToDecimalText } from '@/lib/office/money/currency'
import { requireActor } from '@/lib/office/people/session'
import { archiveClientAction, restoreClientAction, setClientCostAction } from '../actions'

export const metadata: Metadata = { title: 'Client' }

export default async function ClientPage({ params }: { params: Promise<{ clientId: string }> }) {
  const actor = await requireActor('register.change')
  const clientId = z.uuid().safeParse((await params).clientId)
  const client = clientId.success ? await findClient(actor, clientId.data) : null
  if (!client) notFound()
  if (client.mergedIntoId) redirect(`/clients/${client.mergedIntoId}`)
  const { id, fields, mergedFrom, formerTanks } = client
  const { currency, ...cost } = await clientCostNow(actor, id)
  const amount = (minor: number) => (minor === 0 ? '' : minorToDecimalText(minor, currency))
  return (
    <>
      <PageHead
        over="Clients"
        title={fields.name}
        sub={`${client.sites.length} ${client.sites.length === 1 ? 'site' : 'sites'}, ${client.visits} ${client.visits === 1 ? 'visit' : 'visits'} so far.`}
        actions={
          <>
            <ButtonLink href={`/clients/sites/new?client=${id}`} go>
              Add a site
            </ButtonLink>
            <ButtonLink href={`/clients/${id}/edit`}>Change</ButtonLink>
          </>
        }
      />
      {client.isArchived && <Notice title="Archived">Nothing is planned for this client.</Notice>}
      <div className="wide-narrow">
        <div className="stack">
          <Sheet title="Sites and tanks">
            <ClientSites sites={client.sites} paysFor={client.paysFor} />
          </Sheet>
          <Sheet title="Account">
            <BalanceFacts
              balances={client.balances}
              locale={client.locale}
              hrefs={{ account: `/books/clients/${id}` }}
            />
            <p>
              <PageLink href={`/money/charges?client=${id}`}>What is billed and what is open, tank by tank</PageLink>
            </p>
          </Sheet>
          <Sheet title="Invoices">
            <ClientInvoices invoices={client.invoices} locale={client.locale} />
          </Sheet>
        </div>
        <div className="stack">
          <Sheet title="How to reach and bill them">
            <ClientFacts fields={fields} />
          </Sheet>
          {(mergedFrom.length > 0 || formerTanks.length > 0) && (
            <Sheet title="Before">
              {mergedFrom.length > 0 && <p>Also entered as {mergedFrom.map(({ name }) => name).join(', ')}.</p>}
              {formerTanks.map((tank) => (
                <p key={tank.id}>
                  Had <PageLink href={`/tanks/${tank.id}`}>{tank.name}</PageLink> until {tank.until}.
                </p>
              ))}
            </Sheet>
          )}
          <Sheet title="What a need costs here">
            <p className="small soft">
              Beyond the usual costs under Settings. It makes work due earlier where coming too late is dearer.
            </p>
            <ClientCostForm
              action={setClientCostAction}
              clientId={id}
              currency={currency}
              values={{
                travel: amount(cost.travelMinor),
                goodwill: amount(cost.goodwillMinor),
                animalsPerDay: amount(cost.animalsPerDayMinor),
              }}
            />
          </Sheet>
          <Sheet title="Put in order">
            <div className="actions">
              {client.isArchived ? (
                <Step
                  ask="Take out of the archive"
                  confirm="Yes, take it out"
                  name="client.restore"
                  hidden={{ id }}
                  action={restoreClientAction}
                >
                  <p>It stands among the clients again.</p>
                </Step>
              ) : (
                <Step
                  ask="Archive this client"
                  confirm="Yes, archive"
                  name="client.archive"
                  hidden={{ id }}
                  action={archiveClientAction}
                >
                  <p>It leaves the lists; everything that happened stays. It can be taken out again.</p>
                </Step>
              )}
              <ButtonLink href={`/clients/merge?keep=${id}`}>Merge with another entry</ButtonLink>
            </div>
          </Sheet>
        </div>
      </div>
    </>
  )
}
