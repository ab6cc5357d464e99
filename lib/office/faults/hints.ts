import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import {
  type ClassicCause,
  classicCause,
  FAULT_FACTORS,
  type FaultFactor,
  type FaultHint,
  faultHints,
  measuredFactors,
  type TankFactors,
} from '@/lib/trade'
import { readCadences } from '../lanes/read-history'
import type { TANK_TRAIT_COLUMNS } from '../lanes/tank-traits'

export type HintsView = {
  hints: FaultHint[]
  /** How many tanks surely have this fault coming back; 0: there is nothing to compare yet. */
  offenders: number
  classic: (ClassicCause & { hasIt: boolean | null }) | null
  /** What is known of the tank in question, in words. */
  known: string[]
}

type Pair = { equipmentClass: string; failureMode: string }
type Measures = { tank: string; deviceAgeDays: number | null; cleanedEveryDays: number | null }
const MOST_TANKS = 5000

/** What the tanks with a sure repeat fault of this kind have in common, against all other tanks with such a device. */
export async function readHints(
  tx: Transaction,
  businessId: string,
  { tankId, ...pair }: Pair & { tankId: string },
  today: string,
): Promise<HintsView> {
  const sure = await tx.repeatFault.findMany({ where: { businessId, ...pair, isSure: true }, select: { tankId: true } })
  const tanks = await readTraits(tx, businessId, pair)
  const ids = tanks.map(({ id }) => id)
  const cadence = await readCadences(tx, businessId, ids)
  const measures = await readMeasures(tx, businessId, pair, ids, today)
  const measured = measuredFactors(
    measures.map(({ tank, deviceAgeDays, cleanedEveryDays }) => ({
      tank,
      visitEveryDays: cadence(tank),
      ...(deviceAgeDays === null ? {} : { deviceAgeDays }),
      ...(cleanedEveryDays === null ? {} : { cleanedEveryDays }),
    })),
  )
  const measuredOf = new Map(measured.map(({ tank, factors }) => [tank, factors]))
  const all = tanks.map(
    ({ id, ...ticked }): TankFactors => ({
      tank: id,
      factors: {
        stringyRefugium: ticked.hasStringyRefugium,
        fineSand: ticked.hasFineSand,
        heavilyStocked: ticked.isHeavilyStocked,
        furryPets: ticked.hasFurryPets,
        hardTapWater: ticked.hasHardTapWater,
        kitchenOrSmoke: ticked.isNearKitchenOrSmoke,
        ...measuredOf.get(id),
      },
    }),
  )
  const offenders = new Set(sure.map((fault) => fault.tankId))
  const own = all.find(({ tank }) => tank === tankId)?.factors ?? {}
  const classic = classicCause(pair.failureMode)
  return {
    hints: faultHints(all, offenders),
    offenders: offenders.size,
    classic: classic && { ...classic, hasIt: classic.factor ? (own[classic.factor] ?? null) : null },
    known: (Object.keys(FAULT_FACTORS) as FaultFactor[]).flatMap((factor) =>
      own[factor] ? [FAULT_FACTORS[factor]] : [],
    ),
  }
}

type Traits = { id: string } & Record<keyof typeof TANK_TRAIT_COLUMNS, boolean>

/** What is ticked of the tanks that have such a device. */
function readTraits(tx: Transaction, businessId: string, { equipmentClass, failureMode }: Pair): Promise<Traits[]> {
  return tx.$queryRaw<Traits[]>`
    SELECT id, has_stringy_refugium AS "hasStringyRefugium", has_fine_sand AS "hasFineSand", is_heavily_stocked AS "isHeavilyStocked",
      has_furry_pets AS "hasFurryPets", has_hard_tap_water AS "hasHardTapWater", is_near_kitchen_or_smoke AS "isNearKitchenOrSmoke"
    FROM tank WHERE business_id = ${businessId}::uuid AND id IN (
      SELECT tank_id FROM lane WHERE lane.business_id = ${businessId}::uuid AND lane.equipment_class = ${equipmentClass}
        AND lane.failure_mode = ${failureMode})
    ORDER BY id LIMIT ${MOST_TANKS}`
}

/**
 * Age of the oldest device in place, and how far apart the cleans of the rest of the device lie. Cleans on the day of a renewal of this very mode are
 * left out: an offender would otherwise look well cleaned because of its fault.
 */
function readMeasures(
  tx: Transaction,
  businessId: string,
  { equipmentClass, failureMode }: Pair,
  tankIds: string[],
  today: string,
): Promise<Measures[]> {
  return tx.$queryRaw<Measures[]>`
    SELECT device.tank_id AS tank, max(${today}::date - device.installed_on) AS "deviceAgeDays",
      avg(cleans.days_apart)::float8 AS "cleanedEveryDays"
    FROM equipment device
    LEFT JOIN LATERAL (
      SELECT (max(renewed_on) - min(renewed_on))::float8 / nullif(count(DISTINCT renewed_on) - 1, 0) AS days_apart FROM renewal r
      WHERE r.business_id = device.business_id AND r.equipment_id = device.id AND r.failure_mode <> ${failureMode} AND NOT r.is_partial
        AND NOT EXISTS (SELECT 1 FROM renewal c WHERE c.business_id = r.business_id AND c.corrects_id = r.id)
        AND NOT EXISTS (SELECT 1 FROM renewal own WHERE own.business_id = r.business_id AND own.equipment_id = r.equipment_id
          AND own.failure_mode = ${failureMode} AND own.renewed_on = r.renewed_on)
    ) cleans ON true
    WHERE device.business_id = ${businessId}::uuid AND device.equipment_class = ${equipmentClass}
      AND device.tank_id = ANY (${tankIds}::uuid[]) AND device.removed_on IS NULL
    GROUP BY device.tank_id ORDER BY device.tank_id`
}
