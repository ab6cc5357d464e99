/** The invented register: clients, sites, tanks, what stands in them, who goes when. Pure; the same for the same seed. */
import { addDays } from '@/lib/office/clients/days'
import { type Calendar, dayNumber, workday } from './calendar'
import { demoId } from './demo-ids'
import { ACCESS_NOTES, CLIENT_KINDS, CONTACT_NAMES, PLACES, SIGNING_CLIENTS, STREETS, TECHNICIANS, TOWN } from './names'
import { SeededRandom } from './seeded-random'

export type DemoClient = {
  id: string
  siteId: string
  name: string
  /** The site's address line. */
  street: string
  email: string
  phone: string
  paymentTermsDays: string
  /** Number they want on invoices; blank: none. */
  purchaseOrder: string
  /** They want one and have not given it yet. */
  orderMissing: boolean
  /** Somebody else pays for this site: the place of that client in the list. */
  payer: number | null
  accessNote: string
  contact: string
  latitude: string
  longitude: string
}
export type DemoDevice = { id: string; equipmentClass: string; label: string; installedOn: string }
export type DemoTank = {
  number: number
  id: string
  agreementId: string
  /** Place in the list of clients. */
  client: number
  name: string
  profile: 'reef' | 'fish-only-marine' | 'fresh-community' | 'planted' | 'cold-water'
  volumeL: number
  devices: DemoDevice[]
  isPlanted: boolean
  hasFineSand: boolean
  dangerousAnimals: string
  alkalinityFalls: boolean
  everyWeeks: number
  /** The week (of `everyWeeks`) in which it is visited, the workday and the technician. */
  phase: number
  dayPlace: number
  technician: number
  visitMinutes: number
  feeMinor: number
  /** Looked after since this day. */
  since: string
}
export type Register = { clients: DemoClient[]; tanks: DemoTank[] }

export const DEMO_SIZE = { clients: 45, tanks: 60, planted: 3, weeks: 131, weeksByPhone: 10 }
export type DemoSize = typeof DEMO_SIZE

const FITTED = {
  reef: ['protein-skimmer', 'return-pump', 'circulation-pump', 'heater', 'dosing-pump', 'auto-top-off', 'led-light'],
  'fish-only-marine': ['protein-skimmer', 'return-pump', 'circulation-pump', 'heater', 'auto-top-off', 'uv-steriliser'],
  'fresh-community': ['canister-filter', 'heater', 'led-light'],
  planted: ['canister-filter', 'heater', 'carbon-dioxide-set', 'led-light'],
  'cold-water': ['canister-filter', 'uv-steriliser'],
} as const
const LABELS: Record<string, string> = {
  'protein-skimmer': 'Protein skimmer',
  'return-pump': 'Return pump',
  'circulation-pump': 'Circulation pump',
  heater: 'Heater',
  'dosing-pump': 'Dosing pump',
  'auto-top-off': 'Auto top-off',
  'canister-filter': 'Canister filter',
  'uv-steriliser': 'UV steriliser',
  'led-light': 'LED light',
  'carbon-dioxide-set': 'CO2 set',
}

export function planRegister(seed: number, calendar: Calendar, size: DemoSize): Register {
  const random = new SeededRandom(seed)
  const bornMs = calendar.now.getTime() - 3_600_000
  const clients = planClients(random, size, bornMs)
  const tanks: DemoTank[] = []
  const load = new Map<string, number>()
  for (let number = 0; number < size.tanks; number++)
    tanks.push(planTank(random, number, { clients, calendar, size, load, bornMs }))
  return { clients, tanks }
}

function planClients(random: SeededRandom, size: DemoSize, bornMs: number): DemoClient[] {
  const streets = random.sample(STREETS, size.clients)
  return streets.map((drawn, index) => {
    const signing = SIGNING_CLIENTS[index]
    const street = signing?.street ?? drawn
    const kind = signing?.kind ?? random.choice(CLIENT_KINDS)
    const order = random.next()
    return {
      id: demoId(bornMs, `client ${index}`),
      siteId: demoId(bornMs, `site ${index}`),
      name: `${street} ${kind}`,
      street: `${random.integer(1, 90)} ${street}`,
      email: `hello@${street.toLowerCase().replace(' ', '-')}.example`,
      phone: `01632 960${String(300 + index).padStart(3, '0')}`,
      paymentTermsDays: random.choice(['14', '14', '30', '', '7']),
      purchaseOrder: order < 0.18 ? `PO-${random.integer(10_000, 99_999)}` : '',
      orderMissing: index === size.clients - 2,
      // The last site of all belongs to a house that another client pays for, and so does one in the middle.
      payer: index === size.clients - 1 ? 2 : index === Math.floor(size.clients / 2) ? 3 : null,
      accessNote: random.choice(ACCESS_NOTES),
      contact: random.choice(CONTACT_NAMES),
      latitude: random.uniform(54.14, 54.24).toFixed(5),
      longitude: random.uniform(-4.54, -4.42).toFixed(5),
    }
  })
}

type Around = {
  clients: readonly DemoClient[]
  calendar: Calendar
  size: DemoSize
  load: Map<string, number>
  bornMs: number
}

function planTank(random: SeededRandom, number: number, around: Around): DemoTank {
  const { clients, calendar, size, bornMs } = around
  const isPlanted = number >= 4 && number < 4 + size.planted
  const profile = isPlanted || number < 2 ? 'reef' : profileOf(random.next())
  const isMarine = profile === 'reef' || profile === 'fish-only-marine'
  const volumeL = random.choice(isMarine ? [180, 240, 300, 450, 600, 900, 1500] : [60, 90, 120, 180, 240, 300])
  const everyWeeks = isPlanted ? random.choice([1, 2]) : random.choice(isMarine ? [1, 2, 2, 2] : [2, 2, 4])
  const visitMinutes = Math.min(120, 30 + Math.round(volumeL / (isMarine ? 12 : 15) / 5) * 5)
  const seat = freeSeat(around.load, everyWeeks, visitMinutes)
  const firstWeek = number % 8 === 7 ? -random.integer(40, Math.max(41, size.weeks - 30)) : -size.weeks
  const since = workday(calendar, Math.max(-size.weeks, firstWeek), 0)
  const twoHeaters = isMarine && volumeL >= 900
  const classes = FITTED[profile].flatMap((equipmentClass) =>
    equipmentClass === 'heater' && twoHeaters ? ['heater 1', 'heater 2'] : [equipmentClass as string],
  )
  const devices = classes.map((named) => {
    const equipmentClass = named.replace(/ \d$/, '')
    const label = `${LABELS[equipmentClass] ?? equipmentClass}${named.slice(equipmentClass.length)}`
    const id = demoId(bornMs, `device ${number} ${named}`)
    const installedOn = random.next() < 0.5 ? addDays(since, -random.integer(20, 700)) : ''
    return { id, equipmentClass, label, installedOn }
  })
  const client = number < clients.length ? number : random.integer(0, clients.length - 1)
  return {
    number,
    id: demoId(bornMs, `tank ${number}`),
    agreementId: demoId(bornMs, `agreement ${number}`),
    // The first two clients, who can sign in, have the first tanks; the second tank of the first stands beside it.
    client: number === clients.length ? 0 : client,
    name: number === 0 ? 'Lobby reef' : `${PLACES[number % PLACES.length]}${number < clients.length ? '' : ' two'}`,
    profile,
    volumeL,
    devices,
    isPlanted,
    hasFineSand: isMarine && random.next() < 0.3,
    dangerousAnimals: isMarine && random.next() < 0.12 ? random.choice(['Lionfish', 'Long-spined urchin']) : '',
    alkalinityFalls: number === 0 || number === 8,
    everyWeeks,
    visitMinutes,
    feeMinor: Math.round(((volumeL * 0.1 + visitMinutes * 0.55) * 4.3) / everyWeeks) * 100,
    since,
    ...seat,
  }
}

function profileOf(share: number): DemoTank['profile'] {
  if (share < 0.42) return 'reef'
  if (share < 0.56) return 'fish-only-marine'
  if (share < 0.78) return 'fresh-community'
  return share < 0.92 ? 'planted' : 'cold-water'
}

/** The technician, workday and week with the least to do yet. */
function freeSeat(load: Map<string, number>, everyWeeks: number, minutes: number) {
  let best = { technician: 0, dayPlace: 0, phase: 0, minutes: Number.POSITIVE_INFINITY }
  for (let technician = 0; technician < TECHNICIANS.length; technician++)
    for (let dayPlace = 0; dayPlace < 5; dayPlace++)
      for (let phase = 0; phase < everyWeeks; phase++) {
        const weeks = weeksOf(phase, everyWeeks).map((week) => `${technician} ${dayPlace} ${week}`)
        const most = Math.max(...weeks.map((seat) => load.get(seat) ?? 0))
        if (most < best.minutes) best = { technician, dayPlace, phase, minutes: most }
      }
  for (const week of weeksOf(best.phase, everyWeeks)) {
    const seat = `${best.technician} ${best.dayPlace} ${week}`
    load.set(seat, (load.get(seat) ?? 0) + minutes + 20)
  }
  const { technician, dayPlace, phase } = best
  return { technician, dayPlace, phase }
}

const weeksOf = (phase: number, everyWeeks: number) => [0, 1, 2, 3].filter((week) => week % everyWeeks === phase)

/** Whether the tank is visited in a week (0: this one), by its agreement. */
export const isVisitedIn = ({ everyWeeks, phase }: DemoTank, week: number) =>
  ((week % everyWeeks) + everyWeeks) % everyWeeks === phase

export const siteName = (client: DemoClient) => client.name.split(' ').slice(0, 2).join(' ')
export const cityOf = () => TOWN
export const startDayNumber = (tank: DemoTank) => dayNumber(tank.since)
