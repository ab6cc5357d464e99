import type { Actor } from '@/lib/office/frame/actor'
import { defineCommand } from '@/lib/office/frame/command'
import { done } from '@/lib/office/frame/result'
import { envelope } from '@/lib/office/frame/schema'
import { refitLifeModels } from '@/lib/office/lanes/rebuild'
import { asIdentity, inScope } from '@/lib/platform/db/scope'
import { dayNumber } from './calendar'
import { demoId } from './demo-ids'
import { applied } from './expect'
import { loadClientCosts } from './load-client-costs'
import { loadIntervals } from './load-intervals'
import { loadLots } from './load-lots'
import { loadMoney } from './load-money'
import { addClientPeople, addTeam, beginBusiness } from './load-people'
import { loadPhotos } from './load-photos'
import { loadRefills } from './load-refills'
import { loadRegister, loadSettings } from './load-register'
import { loadRemedy } from './load-remedy'
import { loadRequests } from './load-requests'
import { loadStockroom, loadStockToday } from './load-stock'
import { loadBookings, loadOldRecords, loadVisits } from './load-visits'
import { ALL_PEOPLE, DEMO_PASSWORD } from './names'
import { planDemo } from './plan'
import { DEMO_SIZE } from './plan-register'

export { demoTruth } from './truth'

/** How to sign in to the demo, one line a person. */
export const demoLogins: readonly { role: string; email: string; password: string }[] = ALL_PEOPLE.map(
  ({ role, email }) => ({ role, email, password: DEMO_PASSWORD }),
)

export type DemoNeeds = {
  now: Date
  log: (line: string) => void
  signal?: AbortSignal
}

/**
 * Loads an invented business, told from `now`, through the commands that everybody uses: its register, more than two years of
 * old records by an import, the newest visits as phones sent them, the plan, requests and the books. Loading again changes
 * nothing; a loading that was cut off goes on where it stopped, at the `now` with which it began.
 * Errors: what the database throws, an Error where a command is refused, the signal's reason.
 */
export async function seedDemo({ now, log, signal }: DemoNeeds): Promise<void> {
  if (await isLoaded()) return
  const owner = await beginBusiness()
  const beganAt = await beginLoading(owner, now)
  const step = async <T>(words: string, work: () => Promise<T>): Promise<T> => {
    signal?.throwIfAborted()
    const startedAt = performance.now()
    const value = await work()
    log(`  ${words} (${((performance.now() - startedAt) / 1000).toFixed(1)} s)`)
    return value
  }
  const plan = planDemo(beganAt)
  const nowMs = beganAt.getTime()
  const since = plan.register.tanks[0]?.since ?? plan.calendar.today
  const { technicians, accountant } = await step('people', () => addTeam(owner, nowMs))
  const team = { owner, technicians }
  const priceIds = await step('settings and prices', () => loadSettings(owner, nowMs, since))
  await step('clients and tanks', () => loadRegister(owner, technicians, nowMs, plan.register, signal))
  await step('what failures cost', () => loadClientCosts(owner, nowMs, plan.register))
  const clientPeople = await step('sign-ins of clients', () => addClientPeople(owner, nowMs, plan.register))
  await step('old records', () => loadOldRecords(owner, plan))
  await step('the plan', () => loadBookings(team, plan, signal))
  const stock = { ...team, calendar: plan.calendar, weeksByPhone: DEMO_SIZE.weeksByPhone }
  const room = await step('shelf and vans', () => loadStockroom(stock, priceIds))
  await step('visits', () => loadVisits(team, plan, { priceIds, partIds: room.partIds }, signal))
  await step('refills and wear', () => loadRefills(owner, technicians, plan, signal))
  await step('lots', () => loadLots(owner, plan))
  await step('pictures', () => loadPhotos(technicians, plan))
  await step('requests', () => loadRequests(owner, clientPeople, plan))
  await step('books', () => loadMoney(owner, accountant, plan, signal))
  await step('estimates', () => refitLifeModels(owner, dayNumber(plan.calendar.today)))
  await step('a remedy', () => loadRemedy(owner, plan))
  await step('intervals', () => loadIntervals(owner, nowMs))
  await step('stock of today', () => loadStockToday(stock, room))
  await endLoading(owner)
}

const BEGIN_ID = demoId(0, 'begin')
const END_ID = demoId(0, 'end')

/** Whether the demo stands whole here. Asked without signing in: its owner may have changed the password since. */
async function isLoaded(): Promise<boolean> {
  const business = await asIdentity((tx) => tx.business.findFirst({ where: { isDemo: true }, select: { id: true } }))
  if (!business) return false
  const end = await inScope({ role: 'office', businessId: business.id, personId: END_ID }, (tx) =>
    tx.command.findUnique({ where: { businessId_id: { businessId: business.id, id: END_ID } }, select: { id: true } }),
  )
  return end !== null
}

/** The marks between which the demo is loaded. What the first one answers is the moment from which the demo is told. */
const mark = (kind: string) =>
  defineCommand({ kind, may: 'settings.change', schema: envelope }, async (_context, _input, toldFrom?: string) =>
    done({ toldFrom: toldFrom ?? '' }),
  )
const demoBegins = mark('demo.begin')
const demoEnds = mark('demo.end')

/** Keeps the moment from which the demo is told, so that going on later tells the same story. */
async function beginLoading(owner: Actor, now: Date): Promise<Date> {
  const { businessId } = owner
  const begin = demoBegins(owner, { commandId: BEGIN_ID, businessId }, { beside: now.toISOString() })
  return new Date(applied('begin', await begin).toldFrom)
}

async function endLoading(owner: Actor): Promise<void> {
  applied('end', await demoEnds(owner, { commandId: END_ID, businessId: owner.businessId }))
}
