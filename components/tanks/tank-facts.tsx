import { DateWords, dateWords, Facts } from '@/components/paper'
import { cadenceWords } from './agreement-sheet'

type Tank = {
  kind: string
  volume: string
  grossVolume: string | null
  levelMarkDisplayMm: number | null
  levelMarkSumpMm: number | null
  hasStringyRefugium: boolean
  hasFineSand: boolean
  isHeavilyStocked: boolean
  hasFurryPets: boolean
  hasHardTapWater: boolean
  isNearKitchenOrSmoke: boolean
  takenOverOn: string | null
  faultsAtTakeover: string
  note: string
  holders: readonly { clientName: string; clientId: string; since: string; until: string | null }[]
  locale: string
}

/** The tank itself, as it was taken on; blank lines are left out. */
export function TankFacts({ tank }: { tank: Tank }) {
  const day = (date: string) => <DateWords date={date} style="date" locale={tank.locale} />
  const mark = (valueMm: number | null) => (valueMm === null ? '' : `${valueMm} mm below the rim`)
  const items = [
    { term: 'Kind', value: tank.kind },
    { term: 'True water', value: tank.volume },
    { term: 'The glass holds', value: tank.grossVolume ?? '' },
    { term: 'Level, display', value: mark(tank.levelMarkDisplayMm) },
    { term: 'Level, sump', value: mark(tank.levelMarkSumpMm) },
    { term: 'Refugium', value: tank.hasStringyRefugium ? 'with stringy algae' : '' },
    { term: 'Sand', value: tank.hasFineSand ? 'fine' : '' },
    { term: 'Bears on it', value: around(tank) },
    { term: 'Taken on', value: tank.takenOverOn === null ? '' : day(tank.takenOverOn) },
    { term: 'Faults then', value: tank.faultsAtTakeover },
    { term: 'Note for us', value: tank.note },
    ...tank.holders
      .filter((holder) => holder.until !== null)
      .map((holder) => ({
        key: `${holder.clientId} ${holder.since}`,
        term: 'Before',
        value: (
          <>
            {holder.clientName}, until {day(holder.until ?? '')}
          </>
        ),
      })),
  ].filter(({ value }) => value !== '')
  return <Facts items={items} />
}

function around(tank: Tank): string {
  return [
    tank.isHeavilyStocked && 'heavily stocked',
    tank.hasFurryPets && 'furry pets',
    tank.hasHardTapWater && 'hard tap water',
    tank.isNearKitchenOrSmoke && 'near a kitchen or smoke',
  ]
    .filter(Boolean)
    .join(', ')
}

type Sentence = {
  kind: string
  volume: string
  hasStringyRefugium: boolean
  locale: string
  today: string
  timeZone: string
  agreement: { everyDays: number; technicianName: string | null } | null
  lastVisit: { on: string } | null
  nextVisit: { on: string; plannedStart: string | null; plannedEnd: string | null } | null
}

/** "Reef, 450 L, with refugium. Every 2 weeks, Priya. Last seen 12 Nov, next Thu 26 Nov 09:20–10:30." */
export function tankSentence(tank: Sentence): string {
  const { locale, today, timeZone, agreement, lastVisit, nextVisit } = tank
  const day = (date: string) => dateWords({ date, style: 'short', locale, today })
  const time = (instant: string | null | undefined) =>
    instant ? dateWords({ date: instant, style: 'time', locale, timeZone }) : ''
  const hours = [time(nextVisit?.plannedStart), time(nextVisit?.plannedEnd)].filter((part) => part !== '').join('–')
  const cadence = agreement ? cadenceWords(agreement.everyDays) : ''
  const parts = [
    `${tank.kind}, ${tank.volume}${tank.hasStringyRefugium ? ', with refugium' : ''}`,
    agreement
      ? `${cadence.charAt(0).toUpperCase()}${cadence.slice(1)}${agreement.technicianName ? `, ${agreement.technicianName}` : ''}`
      : 'No agreement',
    `${lastVisit ? `Last seen ${day(lastVisit.on)}` : 'Not visited yet'}, ${
      nextVisit ? `next ${day(nextVisit.on)}${hours === '' ? '' : ` ${hours}`}` : 'nothing booked'
    }`,
  ]
  return `${parts.join('. ')}.`
}
