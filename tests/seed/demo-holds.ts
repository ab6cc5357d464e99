import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { faultStory, peopleComparison, repeatFaultList } from '@/lib/office/faults/queries'
import { addDays, dayIn } from '@/lib/office/frame/days'
import { cadences, howOftenAt } from '@/lib/office/how-often/queries'
import { readLanes } from '@/lib/office/lanes/read-history'
import { wearDueDays } from '@/lib/office/lanes/wear'
import { learnedOf } from '@/lib/office/learned/queries'
import { lotList } from '@/lib/office/lots/queries'
import { actorOf } from '@/lib/office/people/actor-of'
import { lookUpLogin } from '@/lib/office/people/sign-in'
import { shortRefills } from '@/lib/office/refills/queries'
import { asIdentity, inScope, type Transaction } from '@/lib/platform/db/scope'
import { fitWeibull } from '@/lib/science'
import { careTasks, equipmentClasses, failureModes, livesForPlainFit, REFILL_KIND_SLUGS, TANK_KINDS } from '@/lib/trade'
import { demoLogins, demoTruth, seedDemo } from '@/seed'
import { calendarOf, dayNumber } from '@/seed/calendar'
import { TRUE_DELAY_DAYS, TRUE_DRIVERS } from '@/seed/drivers'
import { TECHNICIANS, TIME_ZONE } from '@/seed/names'
import { planDemo } from '@/seed/plan'
import type { DemoVisit } from '@/seed/plan-visits'
import { planWear } from '@/seed/plan-wear'
import { DEMO_PARTS } from '@/seed/stock-plan'
import {
  LOW_THRESHOLD,
  PLANTED_MODE,
  PLANTED_STOCK,
  PLANTED_TIMES_AS_FAST,
  REMEDIED,
  SHORT_CONTAINERS,
  WEAK_SALT,
} from '@/seed/truth'
import { dropTestDatabase, testDatabase } from '../setup/database'
import { pinClock, unpinClock } from '../setup/pinned-clock'
import type { Instant } from './instants'
import { stockOfDemo } from './stock-of-demo'

const ENOUGH_EVENTS = 20
const DAY_MS = 86_400_000

/** Somebody with a lower threshold stands in. */
const isEarly = ({ technician, tank }: DemoVisit) =>
  technician === LOW_THRESHOLD.technician && technician !== tank.technician

/** Loads the whole demo business, as `npm start` does, with the clock at an instant, and holds what the screens find against what was planted. */
export function demoHoldsAt({ name, now }: Instant): void {
  describe(name, () => {
    const folder = mkdtempSync(path.join(tmpdir(), 'tankround-demo-'))
    const dataBefore = process.env.TANKROUND_DATA
    const today = dayIn(TIME_ZONE, now)
    let businessId = ''

    beforeAll(async () => {
      pinClock(now)
      await testDatabase()
      process.env.TANKROUND_DATA = folder // the pictures go there
      await seedDemo({ now, log: () => undefined })
      const [business] = await asIdentity((tx) => tx.business.findMany({ select: { id: true } }))
      businessId = business?.id ?? ''
    }, 600_000)

    afterAll(async () => {
      unpinClock()
      await dropTestDatabase()
      if (dataBefore === undefined) delete process.env.TANKROUND_DATA
      else process.env.TANKROUND_DATA = dataBefore
      rmSync(folder, { recursive: true, force: true })
    })

    const read = <T>(work: (tx: Transaction) => Promise<T>) =>
      inScope({ role: 'office', businessId, personId: businessId }, work)

    describe('the demo business', () => {
      test('is one business, marked as invented, and every command was applied', async () => {
        expect(await asIdentity((tx) => tx.business.findMany({ select: { isDemo: true, name: true } }))).toEqual([
          { isDemo: true, name: 'Harbour Lane Aquarium Care' },
        ])
        const statuses = await read((tx) => tx.command.groupBy({ by: ['status'], _count: true }))
        expect(statuses.map(({ status }) => status)).toEqual(['applied'])
      })

      test('every column that holds slugs holds known ones', async () => {
        const known = new Set<string>(
          [...equipmentClasses, ...failureModes, ...careTasks]
            .map(({ slug }) => slug)
            .concat(TANK_KINDS, REFILL_KIND_SLUGS, '*'),
        )
        const columns = await read(
          (tx) => tx.$queryRaw<{ table: string; column: string }[]>`
        SELECT table_name::text AS table, column_name::text AS column FROM information_schema.columns
        WHERE table_schema = 'public' AND (column_name IN ('equipment_class', 'failure_mode', 'care_task', 'removed_because_mode', 'profile', 'slug')
          OR (table_name = 'reservoir' AND column_name = 'kind'))`,
        )
        expect(columns.length).toBeGreaterThan(20)
        for (const { table, column } of columns) {
          const held = await read(
            (tx) =>
              tx.$queryRawUnsafe<{ slug: string }[]>(
                `SELECT DISTINCT ${column} AS slug FROM ${table} WHERE ${column} <> ''`,
              ), // names from the catalogue of the database
          )
          const unknown = held
            .map(({ slug }) => slug)
            .filter((slug) => !known.has(slug) && !/^(own|see-to):/.test(slug))
          expect(unknown, `${table}.${column}`).toEqual([])
        }
      })

      test('has eighty-four tanks, three technicians and thirty months of visits', async () => {
        expect(await read((tx) => tx.tank.count())).toBe(84)
        expect(await read((tx) => tx.client.count())).toBe(60)
        expect(await read((tx) => tx.person.count({ where: { isTechnician: true } }))).toBe(3)
        const { _min } = await read((tx) => tx.visit.aggregate({ where: { state: 'done' }, _min: { localDate: true } }))
        const days = (now.getTime() - (_min.localDate?.getTime() ?? 0)) / DAY_MS
        expect(days).toBeGreaterThan(30 * 30)
        expect(days).toBeLessThan(31 * 30.5)
      })

      test('brought its old records in one import, whose slips were told', async () => {
        const batches = await read((tx) => tx.importBatch.findMany({ select: { report: true } }))
        expect(batches).toHaveLength(1)
        expect(batches[0]?.report).toMatchObject({ report: { visits: { repeated: 2, rejected: [{}, {}] } } })
        expect(await read((tx) => tx.visit.count({ where: { importBatchId: { not: null } } }))).toBeGreaterThan(3000)
      })

      test('has things that wait: overdue promises, open requests, unpaid invoices, drafts', async () => {
        const overdue = await read((tx) =>
          tx.followUp.count({ where: { doneAt: null, dueOn: { lt: new Date(today) } } }),
        )
        expect(overdue).toBeGreaterThan(0)
        expect(await read((tx) => tx.visitRequest.count({ where: { state: 'open' } }))).toBe(3)
        const issued = await read((tx) =>
          tx.invoice.findMany({ where: { state: 'issued' }, include: { allocations: true } }),
        )
        const paid = issued.filter(
          ({ grossMinor, allocations }) => allocations.reduce((sum, p) => sum + p.amountMinor, 0) >= grossMinor,
        )
        expect(paid.length).toBeGreaterThan(0)
        expect(paid.length).toBeLessThan(issued.length)
        expect(await read((tx) => tx.invoice.count({ where: { state: 'draft' } }))).toBeGreaterThan(3)
        const earlier = await read((tx) => tx.visitPrivate.count({ where: { leftEarlyReason: { not: '' } } }))
        expect(earlier).toBeGreaterThan(0)
      })

      test('gives every technician visits in the two weeks to come', async () => {
        const ahead = { gt: now, lte: new Date(now.getTime() + 19 * DAY_MS) }
        const booked = await read((tx) =>
          tx.visit.groupBy({ by: ['technicianId'], where: { state: 'booked', plannedStart: ahead }, _count: true }),
        )
        expect(booked.filter(({ technicianId }) => technicianId !== null)).toHaveLength(3)
        for (const { technicianId, _count } of booked) if (technicianId) expect(_count).toBeGreaterThan(5)
      })

      test('has a tank whose alkalinity falls', async () => {
        const tank = await read((tx) => tx.tank.findFirstOrThrow({ where: { name: 'Lobby reef' } }))
        const readings = await read((tx) =>
          tx.reading.findMany({ where: { tankId: tank.id, quantity: 'alkalinity' }, orderBy: { takenOn: 'desc' } }),
        )
        const newest = readings[0]?.value.toNumber() ?? Number.NaN
        const longAgo = readings.filter(({ takenOn }) => now.getTime() - takenOn.getTime() > 120 * DAY_MS)
        const usual = longAgo.reduce((sum, { value }) => sum + value.toNumber(), 0) / longAgo.length
        expect(newest).toBeLessThan(usual - 0.35)
      })

      test('lets each of its people in', async () => {
        for (const { role, email, password } of demoLogins) {
          const claims = await lookUpLogin({ email, password, address: 'a test' })
          const actor = claims && (await actorOf(claims))
          expect(actor?.roles).toEqual([role.toLowerCase()])
        }
      })
    })

    describe('what the estimates find', () => {
      // The truth is the simulation's own statement (seed/truth.ts). Left out: the wheel and what the surroundings drive, which are no single Weibull. One technician says "needs it" early
      // (LOW_THRESHOLD): a life that ends so is shorter than the truth by as much as her share leaves at most, and the scale by that much times the share of such lives.
      test('holds the true scale and shape within three standard errors, for every mode with enough needs', async () => {
        const lanes = await read((tx) => readLanes(tx, businessId, 'all', dayNumber(today)))
        const stories = planDemo(now).stories.flat()
        const compared = demoTruth
          .filter(({ mode }) => mode !== PLANTED_MODE && TRUE_DRIVERS.every((driver) => driver.mode !== mode))
          .flatMap(({ mode, scaleDays, shape }) => {
            const ofMode = lanes.filter(({ failureMode }) => failureMode === mode)
            const lives = livesForPlainFit(ofMode.flatMap((lane) => lane.read.lives))
            if (lives.filter(({ event }) => event).length < ENOUGH_EVENTS) return []
            const fit = fitWeibull(lives.map(({ observation }) => observation))
            const { logScale, logShape } = fit.standardErrors
            const found = stories.filter(({ jobs }) =>
              jobs.some((job) => job.looks.some(({ life, isBad }) => isBad && life.mode === mode)),
            )
            const early = found.filter(({ visit }) => isEarly(visit)).length / found.length
            const [scaleOff, shapeOff] = [Math.log(fit.scale / scaleDays), Math.log(fit.shape / shape) / logShape]
            return [
              {
                mode,
                early,
                upper: scaleOff / logScale,
                lower: (scaleOff + early * (1 - LOW_THRESHOLD.share)) / logScale,
                shapeOff,
              },
            ]
          })
        expect(compared.length).toBeGreaterThan(10)
        for (const { early } of compared) expect(early).toBeLessThan(0.5)
        const missed = compared.filter(
          ({ lower, upper, shapeOff }) => upper > 3 || lower < -3 || Math.abs(shapeOff) > 3,
        )
        expect(missed).toEqual([])
      })

      test('is sure of the three planted tanks, and of no other for the wheel', async () => {
        const faults = await read((tx) =>
          tx.repeatFault.findMany({ where: { failureMode: PLANTED_MODE, isSure: true }, include: { tank: true } }),
        )
        expect(faults).toHaveLength(3)
        expect(faults.every(({ tank }) => tank.hasStringyRefugium)).toBe(true)
      })
    })

    describe('what the screens say of the planted surroundings and delay', () => {
      const owner = async () => {
        const login = demoLogins.find(({ role }) => role === 'Owner')
        const claims = login && (await lookUpLogin({ email: login.email, password: login.password, address: 'a test' }))
        const actor = claims && (await actorOf(claims))
        if (!actor) throw new Error('the owner was not let in')
        return actor
      }

      // Planted: seed/drivers.ts, and the stringy refugium of seed/truth.ts. At 95 % each interval may miss once in twenty demos; twice the planted ratio either way would be a fault.
      test.each([
        ...TRUE_DRIVERS.map(({ mode, key, timesAsFast }) => ({ mode, key, timesAsFast, certain: /^almost surely$/ })),
        // Three tanks, one of which a remedy has cured since (REMEDIED), among as many properties as were tried: to be sure of it would claim too much. The ratio is near, and the
        // hint at the repeat fault names it.
        {
          mode: PLANTED_MODE,
          key: 'stringy-refugium',
          timesAsFast: PLANTED_TIMES_AS_FAST,
          certain: /^(cannot tell|probably)$/,
        },
      ])('$mode comes sooner with $key, about $timesAsFast times', async ({ mode, key, timesAsFast, certain }) => {
        const pair = await learnedOf(await owner(), mode.slice(0, mode.indexOf('/')), mode, now)
        const driver = pair?.drivers?.shown.find((one) => one.key === key)
        expect(driver?.certainty).toMatch(certain)
        expect(1 / (driver?.timeRatio ?? 0)).toBeGreaterThan(timesAsFast / 2)
        expect(1 / (driver?.timeRatio ?? 0)).toBeLessThan(timesAsFast * 2)
        // The film's planned clean starts the wheel anew within half a year, of years that its curve spans: the band ends where nothing was counted.
        expect(pair?.curves?.band.length).toBeGreaterThan(mode === PLANTED_MODE ? 2 : 10)
      })

      test('nobody can tell of furry pets, which were given no effect', async () => {
        for (const { mode } of TRUE_DRIVERS) {
          const pair = await learnedOf(await owner(), mode.slice(0, mode.indexOf('/')), mode, now)
          const pets = pair?.drivers?.shown.find(({ key }) => key === 'furry-pets')
          expect(pets?.certainty).not.toBe('almost surely')
        }
      })

      // The mean delay is planted at 45 days; call-outs come on top and looks are skipped, which both make it read shorter. Stated limit: half and twice as long must not both be ruled out.
      test('how often to come: enough for an answer, and the delay of the truth is near', async () => {
        const list = (await cadences(await owner(), now)) ?? expect.fail()
        expect(list.missing).toBeNull()
        expect(list.meanDelayDays?.lower).toBeLessThan(TRUE_DELAY_DAYS * 1.5)
        expect(list.meanDelayDays?.upper).toBeGreaterThan(TRUE_DELAY_DAYS / 1.5)
        const first = list.rows[0]
        const page = first && (await howOftenAt(await owner(), first.tankId, now))
        expect(page?.answer?.sentence).toMatch(/every (week|\w+ weeks|\d+ days)/i)
        expect(page?.stretches.length).toBeGreaterThan(0)
      })
    })

    describe('what lasts and what wears', () => {
      test('the two planted containers will not last, one because its visit was moved, and no other', async () => {
        const short = await read((tx) => shortRefills(tx, businessId, { today, locale: 'en-GB' }))
        expect(short.map(({ label }) => label).toSorted()).toEqual(Object.values(SHORT_CONTAINERS).toSorted())
        expect(short.find(({ label }) => label === SHORT_CONTAINERS.moved)).toMatchObject({ becauseMoved: true })
        expect(short.find(({ label }) => label === SHORT_CONTAINERS.small)).toMatchObject({ becauseMoved: false })
      })
      test('each planted path has its day, near the true one', async () => {
        const stories = planWear(planDemo(now))
        const due = await read((tx) =>
          wearDueDays(
            tx,
            businessId,
            stories.map(({ device }) => device.id),
          ),
        )
        expect(due.size).toBe(stories.length)
        for (const { device, mode, crossesDay } of stories) {
          const found = due.get(`${device.id} ${mode}`)
          const half = Math.max(
            3,
            (found?.day ?? 0) - (found?.lowerDay ?? 0),
            (found?.upperDay ?? Infinity) - (found?.day ?? 0),
          )
          expect(Math.abs((found?.day ?? 0) - crossesDay), mode).toBeLessThan(2 * half)
        }
      })
    })

    describe('what the route says about itself', () => {
      const owner = () => ({
        businessId,
        personId: businessId,
        membershipId: businessId,
        roles: ['owner'] as const,
        name: '',
      })

      test('names the weak salt and no other lot', async () => {
        const { rows, tested } = await lotList(owner(), now)
        expect(tested).toBeGreaterThan(10)
        const found = rows.filter((row) => row.found.length > 0)
        expect(found.map(({ label, found: words }) => [label, words.length])).toEqual([[WEAK_SALT.label, 1]])
        expect(found[0]?.found[0]).toMatch(/fell in alkalinity/)
      })

      test('says that the remedy helped, and hints at the refugium', async () => {
        const { rows } = await repeatFaultList(owner(), now)
        const remedied = rows.filter(({ remedy }) => remedy.state !== 'none')
        expect(remedied.map(({ failureMode, sure, remedy }) => [failureMode, sure, remedy.state])).toEqual([
          [PLANTED_MODE, true, 'fell'],
        ])
        const { tankId = '', equipmentClass = '', failureMode = '' } = remedied[0] ?? {}
        const story = await faultStory(owner(), { tankId, equipmentClass, failureMode }, now)
        expect(story?.remedies[0]?.remedy).toBe(REMEDIED.words)
        const out = story?.hints.hints.filter((hint) => hint.standsOut) ?? []
        expect(out.map(({ factor }) => factor)).toEqual(['stringyRefugium'])
      })

      test('shows the one technician with a lower threshold, and the other two as alike', async () => {
        const { pairs } = (await peopleComparison(owner(), now)) ?? expect.fail()
        const low = TECHNICIANS[LOW_THRESHOLD.technician]?.name ?? ''
        expect(pairs).toHaveLength(3)
        for (const { oneName, otherName, words, differ } of pairs) {
          expect(differ).toBe([oneName, otherName].includes(low))
          if (differ) expect(words).toContain(`${low} says “needs it” sooner`)
        }
      })
    })

    describe('the stock', () => {
      const stock = async () => {
        const claims = await lookUpLogin({ ...signInOf('Owner'), address: 'a test' })
        const owner = claims && (await actorOf(claims))
        if (!owner) throw new Error('the owner cannot sign in')
        return stockOfDemo(owner, now)
      }
      const signInOf = (role: string) => {
        const { email, password } = demoLogins.find((login) => login.role === role) ?? { email: '', password: '' }
        return { email, password }
      }
      const keyOf = (name: string) => DEMO_PARTS.find((part) => part.name === name)?.key

      test('lacks one part at a visit after this week and nothing before, as counted by hand too', async () => {
        const { shortages, byHand } = await stock()
        // The one to order may run out within the two weeks too; that is why it is to be ordered.
        const others = shortages.filter(({ partName }) => keyOf(partName) !== PLANTED_STOCK.toOrder)
        const first = others[0]
        if (!first) throw new Error('nothing is short')
        expect([...new Set(others.map(({ partName }) => partName))]).toHaveLength(1)
        expect(PLANTED_STOCK.shortAhead).toContain(keyOf(first.partName))
        const { monday } = calendarOf(now, TIME_ZONE)
        expect(first.visit.on >= addDays(monday, 7)).toBe(true)
        const ahead = await byHand(first.partName, first.visit.on)
        expect(ahead.onHand).toBe(first.onHand)
        // A few chances may come on top of what is sure, or be why one more was left in stock.
        expect(ahead.wanted).toBeGreaterThanOrEqual(ahead.onHand)
      })

      test('has an order under way that is enough, one part to order, and enough of the rest', async () => {
        const { rows, shortages } = await stock()
        const short = shortages.map(({ partName }) => keyOf(partName)).find((key) => key !== PLANTED_STOCK.toOrder)
        const onItsWay = rows.filter(({ onOrder }) => onOrder > 0).map(({ name }) => keyOf(name))
        expect(onItsWay).toEqual([PLANTED_STOCK.onItsWay.find((key) => key !== short)])
        const toOrder = rows.filter(({ orderNow }) => orderNow > 0).map(({ name }) => keyOf(name))
        expect(toOrder.toSorted()).toEqual([PLANTED_STOCK.toOrder, short ?? ''].toSorted())
        for (const { belowZero } of rows) expect(belowZero).toEqual([])
      })
    })

    test('loading it again, a month later, changes nothing', async () => {
      const count = () => read((tx) => Promise.all([tx.command.count(), tx.audit.count(), tx.invoice.count()]))
      const before = await count()
      await seedDemo({ now: new Date(now.getTime() + 30 * DAY_MS), log: () => undefined })
      expect(await count()).toEqual(before)
    })
  })
}
