import { dateWords, Facts, Sheet } from '../paper'
import { PageLink } from '../shell'

type Props = {
  tank: {
    id: string
    name: string
    siteName: string
    address: string
    clientName: string
    timeZone: string
    accessNote: string
    accessWindows: readonly string[]
    agreement: { everyDays: number; visitMinutes: number; includes: string } | null
    lastVisitOn: string | null
    booked: readonly { id: string; date: string }[]
  }
  /** Shown only where the site's clock is not the business's. */
  otherZone?: boolean
  locale: string
}

/** What one wants to know of a tank while planning a visit to it. */
export function TankFacts({ tank, otherZone = false, locale }: Props) {
  const day = (date: string) => dateWords({ date, style: 'date', locale })
  const { agreement } = tank
  const items = [
    { term: 'Tank', value: <PageLink href={`/tanks/${tank.id}`}>{tank.name}</PageLink> },
    { term: 'Where', value: [tank.siteName, tank.address].filter((part) => part !== '').join(', ') },
    { term: 'Client', value: tank.clientName },
    ...(otherZone ? [{ term: 'Clock there', value: tank.timeZone.replaceAll('_', ' ') }] : []),
    { term: 'Way in', value: tank.accessWindows.length > 0 ? tank.accessWindows.join('; ') : 'no fixed hours' },
    ...(tank.accessNote === '' ? [] : [{ term: 'Access', value: tank.accessNote }]),
    {
      term: 'Agreement',
      value: agreement
        ? `every ${agreement.everyDays} days, ${agreement.visitMinutes} minutes${agreement.includes === '' ? '' : `: ${agreement.includes}`}`
        : 'none running',
    },
    { term: 'Last visit', value: tank.lastVisitOn === null ? 'none yet' : day(tank.lastVisitOn) },
    {
      term: 'Booked',
      value:
        tank.booked.length === 0
          ? 'nothing'
          : tank.booked.map((visit, index) => (
              <span key={visit.id}>
                {index > 0 && ', '}
                <PageLink href={`/plan/visits/${visit.id}`}>{day(visit.date)}</PageLink>
              </span>
            )),
    },
  ]
  return (
    <Sheet title={`${tank.name}, ${tank.siteName}`}>
      <Facts items={items} />
    </Sheet>
  )
}
