import { Caution, Facts, PhoneLink, Sheet } from '@/components/paper'
import { PageLink } from '@/components/shell'

type Props = {
  client: { id: string; name: string }
  payer: { id: string; name: string } | null
  site: {
    id: string
    name: string
    address: string
    accessNote: string
    accessWindows: readonly string[]
    contacts: readonly { name: string; role: string; phone: string; email: string }[]
  }
  isolator: string
  isolatorWords: string
  shutOffs: string
  dangerousAnimals: string
  mayChange: boolean
}

/** How to get to the tank and what to know before reaching in; the first thing a technician looks for. */
export function PlaceSheet(props: Props) {
  const { client, payer, site, isolator, isolatorWords, shutOffs, dangerousAnimals, mayChange } = props
  const link = (href: string, words: string) => (mayChange ? <PageLink href={href}>{words}</PageLink> : words)
  const facts = [
    { term: 'Client', value: link(`/clients/${client.id}`, client.name) },
    ...(payer ? [{ term: 'Paid by', value: link(`/clients/${payer.id}`, payer.name) }] : []),
    { term: 'Site', value: link(`/clients/sites/${site.id}`, site.name) },
    { term: 'Address', value: site.address },
    { term: 'How to get in', value: site.accessNote },
    { term: 'When', value: site.accessWindows.join('; ') },
    ...site.contacts.map((contact, index) => ({
      key: `${index} ${contact.name}`,
      term: contact.role === '' ? 'Ask for' : contact.role,
      value: (
        <>
          {contact.name}
          {contact.phone !== '' && (
            <>
              {' '}
              <PhoneLink phone={contact.phone} />
            </>
          )}
          {contact.email !== '' && (
            <>
              {' '}
              <a href={`mailto:${contact.email}`}>{contact.email}</a>
            </>
          )}
        </>
      ),
    })),
    { term: isolatorWords, value: isolator },
    { term: 'Shut-offs', value: shutOffs },
  ]
  return (
    <Sheet title="Getting there">
      {dangerousAnimals !== '' && <Caution>Dangerous animals: {dangerousAnimals}</Caution>}
      <Facts items={facts.filter((fact) => fact.value !== '')} />
    </Sheet>
  )
}
