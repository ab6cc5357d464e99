/**
 * `npm run bench -- --screens`: every main screen as each role on a business of 3,000 tanks, three years, 15 technicians and 20,000
 * invoices, beside its own statements alone; then twenty people at once. Prints a table and which limits are missed.
 *
 *   --tanks 300     a tenth of it, for a try
 *   --keep          leaves the business in the database for the next run of the same day and size
 *   --only WORD     screens whose name has this word, without the twenty people
 *   --people        the twenty people alone
 */
import { parseArgs } from 'node:util'
import { Client } from 'pg'
import type { DatabaseUrls } from '@/lib/entry/database'
import { QUESTIONS } from '@/lib/entry/questions'
import { storeAnswer } from '@/lib/office/frame/stored-answer'
import { dayOf } from '@/lib/office/lanes/day-numbers'
import { refitLifeModels } from '@/lib/office/lanes/rebuild'
import { withBenchDatabase } from '../bench-database'
import { BENCH_LOGINS, writeWork } from '../business-at-work'
import { writeBooks } from '../business-books'
import { VISIT_EVERY_DAYS, writeLargeBusiness } from '../large-business'
import { say, seconds, timed } from '../timing'
import { type Measured, measureScreen } from './measure-screen'
import { peopleAtOnce } from './people-at-once'
import { type Program, signIn, startProgram } from './running-program'
import { type BenchRole, listScreens, type Screen } from './screen-list'
import { missedLimits, sayAtOnce, sayScreens } from './table'

const VISITS_PER_TANK = 78
const TECHNICIANS_PER_TANK = 15 / 3000
const DAY_MS = 86_400_000
const ROLES = Object.keys(BENCH_LOGINS) as BenchRole[] // the keys of a record are its roles

const { values: asked } = parseArgs({
  options: {
    screens: { type: 'boolean' },
    tanks: { type: 'string', default: '3000' },
    keep: { type: 'boolean', default: false },
    only: { type: 'string' },
    people: { type: 'boolean', default: false },
  },
})
const tanks = Number(asked.tanks)
if (!Number.isInteger(tanks) || tanks < 40)
  throw new RangeError(`--tanks is a whole number of 40 or more, got ${asked.tanks}`)
const today = new Date().toISOString().slice(0, 10)
const technicians = Math.max(1, Math.round(tanks * TECHNICIANS_PER_TANK))

const keptName = asked.keep ? `bench_screens_${tanks}_${today.replaceAll('-', '')}` : undefined
await withBenchDatabase(
  async (urls, keep) => {
    const { ownerUrl, appUrl } = urls
    const businessId = (await businessIn(ownerUrl)) ?? (await writeBusiness(ownerUrl))
    keep()
    await answerAll(businessId)
    const all = await withClient(appUrl, (client) => listScreens(client, businessId, today))
    const screens = all.filter(({ name }) => !asked.only || name.includes(asked.only))
    const program = await startProgram(urls)
    try {
      await measure(program, screens, urls)
    } finally {
      await program.stop()
    }
  },
  { keptName },
)

async function measure(program: Program, screens: Screen[], urls: DatabaseUrls): Promise<void> {
  const colleagues = Array.from({ length: technicians }, (_, i) => `technician${i + 1}@large.example`)
  const cookies = await signIn(program.address, [...ROLES.map((role) => BENCH_LOGINS[role]), ...colleagues])
  const cookieOf = (role: BenchRole) => cookies[ROLES.indexOf(role)] ?? ''
  await untilQuiet(program)
  const measured: Measured[] = []
  for (const screen of asked.people ? [] : screens) {
    measured.push(await measureScreen(program, screen, cookieOf(screen.role), urls))
    sayScreens(measured.slice(-1), { head: measured.length === 1 })
  }
  for (const line of asked.people ? [] : missedLimits(measured)) say(line)
  if (asked.only) return
  await program.watch('reset')
  const pages = screens.filter(({ isFile }) => !isFile)
  const ofRole = (role: BenchRole) => pages.filter((screen) => screen.role === role)
  // As a day is: most are on the round, a few at their desks, some clients look in.
  const people = [
    ...cookies.slice(ROLES.length, ROLES.length + 12).map((cookie) => ({ cookie, screens: ofRole('technician') })),
    ...Array.from({ length: 5 }, () => ({ cookie: cookieOf('owner'), screens: ofRole('owner') })),
    ...Array.from({ length: 2 }, () => ({ cookie: cookieOf('client'), screens: ofRole('client') })),
    { cookie: cookieOf('accountant'), screens: ofRole('accountant') },
  ]
  const atOnce = await peopleAtOnce(program, people)
  sayAtOnce(atOnce, await program.watch('peek'))
}

/** First screens that nobody waited for are still being made: until a second goes by without a statement. */
async function untilQuiet(program: Program): Promise<void> {
  do {
    await program.watch('reset')
    await new Promise((resolve) => setTimeout(resolve, 1000))
  } while ((await program.watch('read')).statements.length > 0)
}

async function withClient<T>(connectionString: string, work: (client: Client) => Promise<T>): Promise<T> {
  const client = new Client({ connectionString })
  await client.connect()
  try {
    return await work(client)
  } finally {
    await client.end()
  }
}

/** As the worker keeps them from day to day: while screens are measured none is worked out. */
async function answerAll(businessId: string): Promise<void> {
  for (const question of QUESTIONS) {
    const ms = await timed(() => storeAnswer({ businessId, personId: businessId }, question, new Date()))
    say(`  ${question.name} worked out in ${seconds(ms)}`)
  }
}

/** Row policies hold the owner too: what was written whole says so in a comment. */
function businessIn(ownerUrl: string): Promise<string | null> {
  return withClient(ownerUrl, async (client) => {
    const { rows } = await client.query<{ found: string | null }>(
      `select obj_description('business'::regclass) as found`,
    )
    return rows[0]?.found || null
  })
}

async function writeBusiness(ownerUrl: string): Promise<string> {
  const firstDay = new Date(Date.parse(today) - VISITS_PER_TANK * VISIT_EVERY_DAYS * DAY_MS).toISOString().slice(0, 10)
  const plan = { technicians, visitsPerTank: VISITS_PER_TANK, firstDay, today }
  let businessId = ''
  const wroteMs = await timed(async () => {
    const business = await writeLargeBusiness(ownerUrl, {
      ...{ tanks, visitsPerTank: VISITS_PER_TANK, firstDay, technicians },
      writeMore: async (client, id) => {
        await writeWork(client, id, plan)
        await writeBooks(client, id, plan)
      },
    })
    businessId = business.businessId
    say(`${business.tanks} tanks, ${business.visits} visits, ${business.looks} looks, ${business.lanes} lanes`)
  })
  const fitMs = await timed(() =>
    refitLifeModels({ businessId, personId: businessId }, dayOf(new Date(`${today}T00:00:00Z`))),
  )
  say(`written in ${seconds(wroteMs)}, refit and rebuilt in ${seconds(fitMs)}`)
  await withClient(ownerUrl, async (client) => {
    await client.query('vacuum (analyze)')
    await client.query(`comment on table business is '${businessId}'`)
  })
  return businessId
}
