/** The invented register: clients, sites, tanks, what stands in them, who goes when. Pure; the same for the same seed. */
import { addDays } from '@/lib/office/frame/days'
import { type Calendar, workday } from './calendar'
import { demoId } from './demo-ids'
import { ACCESS_NOTES, CLIENT_KINDS, CONTACT_NAMES, PLACES, SIGNING_CLIENTS, STREETS, TECHNICIANS } from './names'
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
  profile: 'reef' | 'fish-only-marine' | 'freshwater-community' | 'planted' | 'cold-water'
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

export const DEMO_SIZE = { clients: 60, tanks: 84, planted: 3, weeks: 131, weeksByPhone: 6 }

const FITTED = {
  reef: ['protein-skimmer', 'return-pump', 'circulation-pump', 'heater', 'dosing-pump', 'auto-top-up', 'led-light'],
  'fish-only-marine': ['protein-skimmer', 'return-pump', 'circulation-pump', 'heater', 'auto-top-up', 'uv-steriliser'],
  'freshwater-community': ['external-filter', 'heater', 'led-light'],
  planted: ['external-filter', 'heater', 'carbon-dioxide-set', 'led-light'],
  'cold-water': ['external-filter', 'uv-steriliser'],
} as const
const LABELS: Record<string, string> = {
  'protein-skimmer': 'Protein skimmer',
  'return-pump': 'Return pump',
  'circulation-pump': 'Circulation pump',
  heater: 'Heater',
  'dosing-pump': 'Dosing pump',
  'auto-top-up': 'Auto top-up',
  'external-filter': 'External filter',
  'uv-steriliser': 'UV steriliser',
  'led-light': 'LED light',
  'carbon-dioxide-set': 'CO2 set',
}

export function planRegister(seed: number, calendar: Calendar): Register {
  const random = new SeededRandom(seed)
  const bornMs = calendar.now.getTime() - 3_600_000
  const clients = planClients(random, bornMs)
  const tanks: DemoTank[] = []
  const load = new Map<string, number>()
  for (let number = 0; number < DEMO_SIZE.tanks; number++)
    tanks.push(planTank(random, number, { clients, calendar, load, bornMs }))
  return { clients, tanks }
}

function planClients(random: SeededRandom, bornMs: number): DemoClient[] {
  const streets = random.sample(STREETS, DEMO_SIZE.clients)
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
      orderMissing: index === DEMO_SIZE.clients - 2,
      // The last site of all belongs to a house that another client pays for, and so does one in the middle.
      payer: index === DEMO_SIZE.clients - 1 ? 2 : index === Math.floor(DEMO_SIZE.clients / 2) ? 3 : null,
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
  load: Map<string, number>
  bornMs: number
}

function planTank(random: SeededRandom, number: number, around: Around): DemoTank {
  const { clients, calendar, bornMs } = around
  const isPlanted = number >= 4 && number < 4 + DEMO_SIZE.planted
  const profile = isPlanted || number < 2 ? 'reef' : profileOf(random.next())
  const isMarine = profile === 'reef' || profile === 'fish-only-marine'
  const volumeL = random.choice(isMarine ? [180, 240, 300, 450, 600, 900, 1500] : [60, 90, 120, 180, 240, 300])
  // The planted trouble is seen where one looks often.
  const everyWeeks = random.choice(isPlanted ? [1] : isMarine ? [1, 1, 2] : [1, 2, 2])
  const visitMinutes = Math.min(80, 25 + Math.round(volumeL / (isMarine ? 20 : 12) / 5) * 5)
  const seat = freeSeat(around.load, everyWeeks, visitMinutes)
  const firstWeek = number % 8 === 7 ? -random.integer(40, Math.max(41, DEMO_SIZE.weeks - 30)) : -DEMO_SIZE.weeks
  const since = workday(calendar, Math.max(-DEMO_SIZE.weeks, firstWeek), 0)
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
  // Whoever has a second tank has two and no more, so that no two of theirs bear one name; the first of them can sign in.
  const second = number - clients.length
  const client = second < 0 ? number : second === 0 ? 0 : (2 + 2 * second) % clients.length
  return {
    number,
    id: demoId(bornMs, `tank ${number}`),
    agreementId: demoId(bornMs, `agreement ${number}`),
    client,
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
  if (share < 0.78) return 'freshwater-community'
  return share < 0.92 ? 'planted' : 'cold-water'
}

/** The technician, workday and week with the fewest visits yet, and of those with as few the one with the least to do. */
function freeSeat(load: Map<string, number>, everyWeeks: number, minutes: number) {
  let best = { technician: 0, dayPlace: 0, phase: 0, filled: Number.POSITIVE_INFINITY }
  for (let technician = 0; technician < TECHNICIANS.length; technician++)
    for (let dayPlace = 0; dayPlace < 5; dayPlace++)
      for (let phase = 0; phase < everyWeeks; phase++) {
        const weeks = weeksOf(phase, everyWeeks).map((week) => `${technician} ${dayPlace} ${week}`)
        const filled = Math.max(...weeks.map((seat) => load.get(seat) ?? 0))
        if (filled < best.filled) best = { technician, dayPlace, phase, filled }
      }
  for (const week of weeksOf(best.phase, everyWeeks)) {
    const seat = `${best.technician} ${best.dayPlace} ${week}`
    load.set(seat, (load.get(seat) ?? 0) + A_VISIT + minutes)
  }
  const { technician, dayPlace, phase } = best
  return { technician, dayPlace, phase }
}

/** More than all minutes of a day: one visit more outweighs any minutes. */
const A_VISIT = 1000

const weeksOf = (phase: number, everyWeeks: number) => [0, 1, 2, 3].filter((week) => week % everyWeeks === phase)

/** Whether the tank is visited in a week (0: this one), by its agreement. */
export const isVisitedIn = ({ everyWeeks, phase }: DemoTank, week: number) =>
  ((week % everyWeeks) + everyWeeks) % everyWeeks === phase

export const siteName = (client: DemoClient) => client.name.split(' ').slice(0, 2).join(' ')
