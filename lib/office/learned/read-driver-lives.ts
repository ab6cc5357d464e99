import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { type DriverLife, livesForPlainFit, tasksOf } from '@/lib/trade'
import { dayOf } from '../lanes/day-numbers'
import { loadLife } from '../lanes/derive'
import { evenTanks } from '../lanes/life-curves'
import { readCadences } from '../lanes/read-history'
import { storedLivesSchema } from '../lanes/stored-reason'
import { TANK_TRAIT_COLUMNS } from '../lanes/tank-traits'

/** Lives that a test of what drives them takes, and quick enough for a page. */
const LIVES_TESTED = 1500
const GENERAL_CLEAN_RENEWS = 3
const HALF_A_YEAR_DAYS = 182
const DAYS_PER_YEAR = 365.25

/** The lanes of a class × mode with their lives, whole tanks only. */
export async function readPairLives(
  tx: Transaction,
  businessId: string,
  pair: { equipmentClass: string; failureMode: string },
) {
  const lanes = await tx.lane.findMany({
    where: { businessId, ...pair },
    select: { tankId: true, equipmentId: true, lives: true },
    orderBy: [{ tankId: 'asc' }, { equipmentId: 'asc' }],
  })
  return lanes.flatMap(({ tankId, equipmentId, lives }) =>
    livesForPlainFit(storedLivesSchema.parse(lives).map(loadLife)).map((life) => ({ tankId, equipmentId, ...life })),
  )
}
export type PairLife = Awaited<ReturnType<typeof readPairLives>>[number]

/** The same lives with what is known around each: the tank, the device, the last general clean, the cadence, who began it. */
export async function withSurroundings(
  tx: Transaction,
  businessId: string,
  { equipmentClass, failureMode }: { equipmentClass: string; failureMode: string },
  all: readonly PairLife[],
): Promise<DriverLife[]> {
  const lives = evenTanks(all, LIVES_TESTED)
  const tankIds = [...new Set(lives.map(({ tankId }) => tankId))]
  const equipmentIds = [...new Set(lives.map(({ equipmentId }) => equipmentId))]
  const tanks = await tx.tank.findMany({
    where: { businessId, id: { in: tankIds } },
    select: { id: true, ...TANK_TRAIT_COLUMNS },
  })
  const tankById = new Map(tanks.map(({ id, ...tank }) => [id, tank]))
  const devices = await tx.equipment.findMany({
    where: { businessId, id: { in: equipmentIds } },
    select: { id: true, installedOn: true },
  })
  const installed = new Map(devices.map(({ id, installedOn }) => [id, installedOn ? dayOf(installedOn) : null]))
  const visitEveryDays = await readCadences(tx, businessId, tankIds)
  const renewedBy = await whoRenewed(tx, businessId, equipmentIds, failureMode)
  const cleans = await generalCleans(tx, businessId, equipmentIds, equipmentClass)
  return lives.flatMap(({ tankId, equipmentId, observation, event, startDay }): DriverLife[] => {
    const tank = tankById.get(tankId)
    if (!tank) return []
    const installedDay = installed.get(equipmentId) ?? null
    return [
      {
        ...tank,
        tank: tankId,
        observation,
        event,
        deviceAgeYears: installedDay === null ? null : Math.max(0, startDay - installedDay) / DAYS_PER_YEAR,
        generalCleanOverdue: cleans(equipmentId, startDay),
        visitEveryDays: visitEveryDays(tankId),
        renewedBy: renewedBy.get(`${equipmentId} ${startDay}`) ?? null,
      },
    ]
  })
}

async function whoRenewed(
  tx: Transaction,
  businessId: string,
  equipmentIds: string[],
  failureMode: string,
): Promise<Map<string, string>> {
  const rows = await tx.$queryRaw<{ equipmentId: string; day: number; personId: string }[]>`
    SELECT DISTINCT r.equipment_id AS "equipmentId", r.renewed_on - DATE '1970-01-01' AS day,
      coalesce(person.merged_into_id, person.id) AS "personId"
    FROM renewal r JOIN visit ON visit.business_id = r.business_id AND visit.id = r.visit_id
    JOIN person ON person.business_id = visit.business_id AND person.id = visit.technician_id
    WHERE r.business_id = ${businessId}::uuid AND r.equipment_id = ANY (${equipmentIds}::uuid[])
      AND r.failure_mode = ${failureMode} AND NOT r.is_partial
      AND NOT EXISTS (SELECT 1 FROM renewal c WHERE c.business_id = r.business_id AND c.corrects_id = r.id)
    ORDER BY 1, 2, 3`
  return new Map(rows.map(({ equipmentId, day, personId }) => [`${equipmentId} ${day}`, personId]))
}

/**
 * Whether a device had no general clean in the half year before a day. Known only from work of our own logging: older records name no task.
 */
async function generalCleans(
  tx: Transaction,
  businessId: string,
  equipmentIds: string[],
  equipmentClass: string,
): Promise<(equipmentId: string, day: number) => boolean | null> {
  const tasks = tasksOf(equipmentClass).filter(({ renews }) => renews.length >= GENERAL_CLEAN_RENEWS)
  if (tasks.length === 0) return () => null
  const rows = await tx.renewal.findMany({
    where: { businessId, equipmentId: { in: equipmentIds }, careTask: { not: '' }, correctedBy: null },
    select: { equipmentId: true, careTask: true, renewedOn: true },
    orderBy: { renewedOn: 'asc' },
  })
  const slugs = new Set(tasks.map(({ slug }) => slug))
  const firstOwn = new Map<string, number>()
  const days = new Map<string, number[]>()
  for (const { equipmentId, careTask, renewedOn } of rows) {
    const day = dayOf(renewedOn)
    if (!firstOwn.has(equipmentId)) firstOwn.set(equipmentId, day)
    if (slugs.has(careTask)) days.set(equipmentId, [...(days.get(equipmentId) ?? []), day])
  }
  return (equipmentId, day) => {
    const last = days.get(equipmentId)?.findLast((clean) => clean <= day)
    if (last !== undefined && day - last <= HALF_A_YEAR_DAYS) return false
    const since = firstOwn.get(equipmentId)
    return since !== undefined && day - since >= HALF_A_YEAR_DAYS ? true : null
  }
}

/** Names of the people who did the work, for the sentences. */
export async function namesOfPeople(tx: Transaction, businessId: string, lives: readonly DriverLife[]) {
  const ids = [...new Set(lives.flatMap(({ renewedBy }) => (renewedBy ? [renewedBy] : [])))]
  const people = await tx.person.findMany({ where: { businessId, id: { in: ids } }, select: { id: true, name: true } })
  const names = new Map(people.map(({ id, name }) => [id, name]))
  return (id: string) => names.get(id) ?? 'somebody'
}
