/**
 * Makes a small business's old spreadsheets, messy on purpose, from a simulation whose truth is known. All invented; the life
 * parameters are the simulation's own. Statistically like the old-records sample, not equal to it bit by bit.
 */
import { SeededRandom } from './random'

const KINDS = ['dental practice', 'noodle bar', 'hotel lobby', 'primary school', 'public library', 'law office'].concat(
  ['family home', 'care home', 'bakery', 'showroom', 'barber', 'ferry terminal'],
)
const FIRST =
  'Amble Bracken Cobble Drift Elder Fennel Gorse Heron Isle Juniper Kelp Lantern Marram Nettle Otter Pebble Quill Rowan Sorrel Thrift Umber Vetch Willow Yarrow'.split(
    ' ',
  )
const LAST = ['Lane', 'Quay', 'Row', 'Yard', 'Mews', 'Steps', 'Wharf', 'Green']
const TECHNICIANS = ['Priya', 'Tomas', 'Ines']
const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']
const DAY_MS = 86_400_000
const START_MS = Date.UTC(2023, 0, 2)

/** Equipment, mode, scale in weeks, shape, chance of a look at a routine visit, planned clean every … weeks (0: none). */
export const SIMULATED_MODES = [
  ['protein skimmer', 'rotor film', 34, 2.1, 0.25, 26],
  ['protein skimmer', 'wheel clogged', 60, 1.0, 0.5, 26],
  ['protein skimmer', 'air line restricted', 20, 2.0, 0.85, 0],
  ['return pump', 'rotor scale', 40, 2.3, 0.3, 30],
  ['circulation pump', 'rotor coralline', 22, 2.2, 0.6, 0],
  ['heater', 'reads off by more than 1 C', 120, 2.0, 0.95, 0],
  ['canister filter', 'media clogged', 8, 2.6, 0.9, 6],
  ['dosing pump', 'tube tired', 44, 3.0, 0.5, 0],
  ['auto top-off', 'sensor fouled', 7, 2.0, 0.9, 0],
  ['UV steriliser', 'lamp past its hours', 56, 6.0, 0.2, 52],
] as const
const MARINE = ['protein skimmer', 'return pump', 'circulation pump', 'heater', 'dosing pump', 'auto top-off']
const FRESH = ['canister filter', 'heater', 'UV steriliser']

export type RecordRow = Record<
  'date' | 'technician' | 'tank' | 'kind' | 'minutes' | 'equipment' | 'looked_at' | 'as_found' | 'done' | 'part',
  string
> &
  Record<'readings' | 'comment', string>
export type SimulatedBusiness = {
  clients: { name: string; email: string; phone: string; terms: string; address: string }[]
  tanks: { client: string; name: string; kind: string; volume: string; refugium: string; every: string }[]
  equipment: { tank: string; equipment: string; installed: string }[]
  visits: RecordRow[]
  truth: { offenders: string[]; litresTotal: number; duplicateRows: number; wrongRows: number }
}

type ModeState = { equipment: string; mode: string; scale: number; shape: number; look: number; plan: number }
type RunningMode = ModeState & { due: number; since: number }

/** One business. `offendersCount` tanks clog their wheel eight times as fast; 0 makes a business in which nothing is wrong. */
export function makeRecords(
  seed: number,
  {
    tankCount = 48,
    weeks = 156,
    offendersCount = 3,
  }: { tankCount?: number; weeks?: number; offendersCount?: number } = {},
): SimulatedBusiness {
  const random = new SeededRandom(seed)
  const clients = makeClients(random, Math.floor(tankCount * 0.8))
  const numbers = Array.from({ length: tankCount }, (_, number) => number)
  const offenders = new Set(random.sample(numbers, offendersCount))
  const business: SimulatedBusiness = {
    clients,
    tanks: [],
    equipment: [],
    visits: [],
    truth: { offenders: [], litresTotal: 0, duplicateRows: 12, wrongRows: 9 },
  }
  for (const number of numbers) {
    const isOffender = offenders.has(number)
    const isMarine = isOffender || random.next() < 0.6
    const litres = random.choice([90, 120, 180, 240, 300, 450, 600, 900, 1500])
    const every = random.choice(isOffender ? [1, 2] : [1, 2, 2, 4])
    const name = `${random.choice(['Main', 'Reception', 'Bar', 'Hall', 'Upstairs', 'Front'])} ${number + 1}`
    business.tanks.push({
      client: (clients[number] ?? random.choice(clients)).name,
      name,
      kind: random.choice(isMarine ? ['reef', 'Reef', 'fish only'] : ['freshwater', 'planted', 'Fresh']),
      volume: random.choice([
        `${litres} L`,
        `${litres}`,
        `${(litres / 3.785411784).toFixed(0)} gal`,
        `${litres / 1000} m3`,
      ]),
      refugium: isOffender || (isMarine && random.next() < 0.1) ? 'yes' : '',
      every: `${every}`,
    })
    business.truth.litresTotal += litres
    if (isOffender) business.truth.offenders.push(name)
    const fitted = isMarine ? MARINE : FRESH
    for (const equipment of fitted) {
      const installed = random.next() < 0.6 ? messyDate(random, -random.integer(30, 900)) : ''
      business.equipment.push({ tank: name, equipment, installed })
    }
    business.visits.push(...visitsOfTank(random, { name, isMarine, isOffender, every, weeks, fitted }))
  }
  addMess(random, business)
  return business
}

function makeClients(random: SeededRandom, count: number): SimulatedBusiness['clients'] {
  const names = random.sample(
    FIRST.flatMap((first) => LAST.map((last) => `${first} ${last}`)),
    count,
  )
  return names.map((name) => {
    const kind = random.choice(KINDS)
    return {
      name:
        kind === 'family home' ? `${name} household` : `${name} ${kind}`.replace(/\b[a-z]/g, (c) => c.toUpperCase()),
      email: `hello@${name.toLowerCase().replace(' ', '-')}.example`,
      phone: `01632 960${String(random.integer(0, 999)).padStart(3, '0')}`,
      terms: random.choice(['14 days', 'net 30', '30', 'on receipt', '']),
      address: `${random.integer(1, 90)} ${name}, Port Ellery`,
    }
  })
}

function visitsOfTank(
  random: SeededRandom,
  tank: { name: string; isMarine: boolean; isOffender: boolean; every: number; weeks: number; fitted: string[] },
): RecordRow[] {
  const states: RunningMode[] = SIMULATED_MODES.filter(([equipment]) => tank.fitted.includes(equipment)).map(
    ([equipment, mode, meanScale, shape, look, plan]) => {
      const scale = tank.isOffender && mode === 'wheel clogged' ? meanScale / 8 : meanScale
      return { equipment, mode, scale, shape, look, plan, due: random.weibull(scale, shape), since: 0 }
    },
  )
  const rows: RecordRow[] = []
  let week = random.uniform(0, tank.every)
  while (week < tank.weeks) {
    const day = nextWorkday(Math.round(week * 7))
    if (random.next() > 0.04) rows.push(...rowsOfVisit(random, tank, day, states))
    week += Math.max(0.5, random.normal(tank.every, 0.12 * tank.every))
  }
  return rows
}

/** Day 0 is a Monday. */
const nextWorkday = (day: number) => (day % 7 > 4 ? day + 7 - (day % 7) : day)

function rowsOfVisit(
  random: SeededRandom,
  tank: { name: string; isMarine: boolean },
  day: number,
  states: RunningMode[],
): RecordRow[] {
  const found = states.flatMap((state) => {
    const age = day / 7 - state.since
    const planned = state.plan > 0 && age >= state.plan
    if (!planned && random.next() >= state.look) return []
    const bad = age >= state.due
    const renew = bad || planned
    const part = state.mode.includes('lamp') ? 'UV lamp' : state.mode.includes('tube') ? 'pump tube' : ''
    if (renew) {
      state.since = day / 7
      state.due = random.weibull(state.scale, state.shape)
    }
    return [
      {
        equipment: state.equipment,
        looked_at: state.mode,
        as_found: bad ? state.mode : random.choice(['ok', 'OK', 'fine']),
        done: renew ? (part ? 'replaced' : 'cleaned') : '',
        part: renew ? part : '',
      },
    ]
  })
  const lines = found.length > 0 ? found : [{ equipment: '', looked_at: '', as_found: '', done: '', part: '' }]
  const head = {
    date: messyDate(random, day),
    technician: random.choice(TECHNICIANS),
    tank: tank.name,
    kind: 'routine',
    minutes: `${random.choice([30, 40, 45, 60, 75, 90])}`,
  }
  return lines.map((line, place) => ({
    ...head,
    ...line,
    readings: place === 0 ? readingsOf(random, tank.isMarine) : '',
    comment:
      place === 0
        ? random.choice([
            '',
            '',
            '',
            'client says all good',
            'asked about "cloudy" glass',
            'key with neighbour,\nbell broken',
          ])
        : '',
  }))
}

function readingsOf(random: SeededRandom, isMarine: boolean): string {
  if (!isMarine) return `NO3 ${Math.abs(random.normal(20, 8)).toFixed(0)}; pH ${random.normal(7.2, 0.2).toFixed(1)}`
  const [alkalinity, calcium, salinity] = [random.normal(8.3, 0.6), random.normal(420, 15), random.normal(34.6, 0.5)]
  return `Alk ${alkalinity.toFixed(1)} dKH; Ca ${calcium.toFixed(0)}; Sal ${salinity.toFixed(1)}`
}

function messyDate(random: SeededRandom, day: number): string {
  const date = new Date(START_MS + day * DAY_MS)
  const [year, month, dayOfMonth] = [date.getUTCFullYear(), date.getUTCMonth(), date.getUTCDate()]
  const two = (value: number) => String(value).padStart(2, '0')
  const style = random.next()
  if (style < 0.6) return `${two(dayOfMonth)}/${two(month + 1)}/${year}`
  return style < 0.9 ? date.toISOString().slice(0, 10) : `${dayOfMonth} ${MONTHS[month]} ${year}`
}

/** The mess of a real spreadsheet: rows a little out of order, twelve repeats, nine wrong rows, two clients in capitals. */
function addMess(random: SeededRandom, business: SimulatedBusiness): void {
  const clean = business.visits
  const repeats = random.sample(clean, 12).map((row) => ({ ...row }))
  const wrong = Array.from({ length: 9 }, (_, number): RecordRow => {
    const row = { ...random.choice(clean) }
    if (number % 3 === 0) return { ...row, date: random.choice(['31/02/2024', 'soon', '2024-13-01']) }
    if (number % 3 === 1) return { ...row, tank: `Tank nobody has ${number}` }
    return { ...row, minutes: random.choice(['-30', 'an hour or so', '9999']) }
  })
  const mixed = [...clean]
  for (const [place, row] of [...repeats, ...wrong].entries()) mixed.splice(200 + place * 37, 0, row)
  business.visits = mixed
  for (const client of random.sample(business.clients, 2))
    business.clients.push({ ...client, name: `${client.name.toUpperCase()} ` })
}
