import { Empty, Facts } from '@/components/paper'
import type { SiteFields } from '@/lib/office/clients/schema'

type Props = { fields: SiteFields; windows: readonly string[]; payerName: string | null }

/** Where a site is, how and when to get in, and whom to ask for. */
export function SiteFacts({ fields, windows, payerName }: Props) {
  const items = [
    {
      term: 'Address',
      value: [fields.address, fields.postcode, fields.city, fields.region, fields.country].filter(Boolean).join(', '),
    },
    { term: 'How to get in', value: fields.accessNote },
    { term: 'When', value: windows.join('; ') },
    ...fields.contacts.map((contact, index) => ({
      key: `${index}`,
      term: contact.role || 'Ask for',
      value: [contact.name, contact.phone, contact.email].filter(Boolean).join(', '),
    })),
    { term: 'Paid by', value: payerName ?? '' },
    { term: 'Purchase order', value: fields.purchaseOrder },
    { term: 'On the map', value: fields.latitude && `${fields.latitude}, ${fields.longitude}` },
  ].filter(({ value }) => value !== '')
  return items.length > 0 ? <Facts items={items} /> : <Empty title="Only a name so far" />
}
