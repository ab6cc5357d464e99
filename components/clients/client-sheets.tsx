import { DateWords, Empty, Facts, Money } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { DataTable } from '@/components/tables'
import type { ClientFields } from '@/lib/office/clients/schema'

/** How to reach a client and what goes on its invoices; blank lines are left out. */
export function ClientFacts({ fields }: { fields: ClientFields }) {
  const billing = [
    fields.billingAddress,
    fields.billingPostcode,
    fields.billingCity,
    fields.billingRegion,
    fields.billingCountry,
  ]
  const items = [
    { term: 'E-mail', value: fields.email && <a href={`mailto:${fields.email}`}>{fields.email}</a> },
    { term: 'Phone', value: fields.phone },
    { term: 'Invoice to', value: fields.billingName },
    { term: 'Address', value: billing.filter((part) => part !== '').join(', ') },
    { term: 'Tax number', value: fields.taxNumber },
    { term: 'Company number', value: fields.companyNumber },
    { term: 'Their reference', value: fields.buyerReference },
    { term: 'E-invoices to', value: fields.endpoint },
    { term: 'Pays within', value: fields.paymentTermsDays && `${fields.paymentTermsDays} days` },
    { term: 'Purchase order', value: fields.purchaseOrder || (fields.purchaseOrderNeeded && 'needed, none given yet') },
    { term: 'Note for us', value: fields.note },
  ]
  const given = items.filter(({ value }) => value !== '' && value !== false)
  return given.length > 0 ? <Facts items={given} /> : <Empty title="Only a name so far" />
}

type Site = {
  id: string
  name: string
  address: string
  isArchived: boolean
  payer: { id: string; name: string } | null
  tanks: readonly { id: string; name: string; isArchived: boolean }[]
}
type PaidSite = { id: string; name: string; client: { id: string; name: string } }

/** The sites of a client with their tanks, who pays for them, and what the client pays for elsewhere. */
export function ClientSites({ sites, paysFor }: { sites: readonly Site[]; paysFor: readonly PaidSite[] }) {
  return (
    <>
      <DataTable
        caption="Sites"
        captionHidden
        rows={sites}
        empty={<Empty title="No site yet">A tank stands at a site: add one first.</Empty>}
        rowHref={(site) => `/clients/sites/${site.id}`}
        columns={[
          { key: 'name', header: 'Site', cell: (site) => (site.isArchived ? `${site.name} (archived)` : site.name) },
          { key: 'address', header: 'Address', cell: (site) => site.address },
          {
            key: 'tanks',
            header: 'Tanks',
            cell: (site) =>
              site.tanks.map((tank, index) => (
                <span key={tank.id}>
                  {index > 0 && ', '}
                  <PageLink href={`/tanks/${tank.id}`}>{tank.name}</PageLink>
                  {tank.isArchived && ' (archived)'}
                </span>
              )),
          },
          {
            key: 'payer',
            header: 'Paid by',
            cell: (site) => site.payer && <PageLink href={`/clients/${site.payer.id}`}>{site.payer.name}</PageLink>,
          },
        ]}
      />
      {paysFor.length > 0 && (
        <p>
          Also pays for{' '}
          {paysFor.map((site, index) => (
            <span key={site.id}>
              {index > 0 && ', '}
              <PageLink href={`/clients/sites/${site.id}`}>
                {site.name} of {site.client.name}
              </PageLink>
            </span>
          ))}
          .
        </p>
      )}
    </>
  )
}

type Invoice = {
  id: string
  number: string | null
  documentType: string
  issuedOn: string | null
  dueOn: string | null
  grossMinor: number
  outstandingMinor: number
  currency: string
}

/** The last invoices of a client. */
export function ClientInvoices({ invoices, locale }: { invoices: readonly Invoice[]; locale: string }) {
  const day = (date: string | null) => date && <DateWords date={date} style="date" locale={locale} />
  return (
    <DataTable
      caption="Invoices"
      captionHidden
      rows={invoices}
      empty={<Empty title="No invoices yet" />}
      rowHref={(invoice) => `/money/${invoice.id}`}
      columns={[
        {
          key: 'number',
          header: 'Number',
          cell: (invoice) =>
            `${invoice.documentType === 'credit_note' ? 'Credit note ' : ''}${invoice.number ?? 'draft'}`,
        },
        { key: 'issued', header: 'Issued', cell: (invoice) => day(invoice.issuedOn) },
        { key: 'due', header: 'Due', cell: (invoice) => day(invoice.dueOn) },
        {
          key: 'gross',
          header: 'Amount',
          numeric: true,
          cell: ({ grossMinor, currency }) => <Money minor={grossMinor} currency={currency} locale={locale} />,
        },
        {
          key: 'outstanding',
          header: 'Outstanding',
          numeric: true,
          cell: ({ outstandingMinor, currency }) => (
            <Money minor={outstandingMinor} currency={currency} locale={locale} />
          ),
        },
      ]}
    />
  )
}
