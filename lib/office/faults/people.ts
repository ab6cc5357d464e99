import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { comparePeople, DEPTHS, failureModes, type PairOfPeople, type PersonLooks } from '@/lib/trade'
import { type Actor, inBusiness } from '../frame/actor'
import { answerTo, type Question } from '../frame/stored-answer'
import { tanksAtEvenSteps } from '../lanes/tanks-at-even-steps'

export type PeopleComparison = {
  pairs: (PairOfPeople & { oneName: string; otherName: string })[]
  /** Looks read in all; what nobody shares is in no pair. */
  looks: number
  /** Tanks whose looks were read. */
  tanks: number
}

/** Looks at so many tanks tell two people apart; reading those of many more takes longer than a page may. */
const TANKS_ENOUGH = 400
/** Longer gaps between two looks are taken together. */
const LONGEST_GAP_WEEKS = 8

/**
 * How often each two people found a need when they looked at the same tanks. A look counts where it was deep enough for its mode and no need
 * was open: a fault that nobody has put right would be found again by whoever comes next.
 */
async function comparePeopleIn(tx: Transaction, businessId: string): Promise<PeopleComparison> {
  const slugs = failureModes.map((mode) => mode.slug)
  const needed = failureModes.map((mode) => DEPTHS.indexOf(mode.lookNeeded))
  const tankIds = await tanksAtEvenSteps(tx, businessId, TANKS_ENOUGH)
  const looks = await tx.$queryRaw<PersonLooks[]>`
    WITH needed AS (SELECT * FROM unnest(${slugs}::text[], ${needed}::int[]) needed (failure_mode, depth)),
    looked AS (
      SELECT f.equipment_id, f.failure_mode, f.tank_id, f.found_on, f.as_found, visit.technician_id AS person,
        lag(f.as_found) OVER lane AS as_found_before, lag(f.found_on) OVER lane AS found_on_before
      FROM finding f
      JOIN visit ON visit.business_id = f.business_id AND visit.id = f.visit_id
      JOIN tank ON tank.business_id = f.business_id AND tank.id = f.tank_id
      LEFT JOIN needed USING (failure_mode)
      WHERE f.business_id = ${businessId}::uuid AND coalesce(tank.merged_into_id, tank.id) = ANY (${tankIds}::uuid[])
        AND f.learned_by = 'look' AND f.as_found <> 'not_looked' AND f.equipment_id IS NOT NULL
        AND (f.as_found <> 'ok' OR f.import_batch_id IS NOT NULL
          OR array_position(${[...DEPTHS]}::text[], f.depth) - 1 >= coalesce(needed.depth, 0))
        AND NOT EXISTS (SELECT 1 FROM finding c WHERE c.business_id = f.business_id AND c.corrects_id = f.id)
      WINDOW lane AS (PARTITION BY f.equipment_id, f.failure_mode ORDER BY f.found_on, f.made_at, f.device_seq, f.id)
    )
    SELECT tank_id AS tank, equipment_id AS equipment, failure_mode AS mode, person,
      least(${LONGEST_GAP_WEEKS}, round((found_on - found_on_before) / 7.0))::int AS "gapWeeks",
      count(*)::int AS looks, (count(*) FILTER (WHERE as_found <> 'ok'))::int AS found
    FROM looked
    WHERE person IS NOT NULL AND (as_found_before IS NULL OR as_found_before = 'ok' OR EXISTS (
      SELECT 1 FROM renewal r WHERE r.business_id = ${businessId}::uuid AND r.equipment_id = looked.equipment_id
        AND r.failure_mode = looked.failure_mode AND NOT r.is_partial
        AND r.renewed_on >= looked.found_on_before AND r.renewed_on <= looked.found_on
        AND NOT EXISTS (SELECT 1 FROM renewal c WHERE c.business_id = r.business_id AND c.corrects_id = r.id)))
    GROUP BY 1, 2, 3, 4, 5 ORDER BY 1, 2, 3, 4, 5`
  const ids = [...new Set(looks.map(({ person }) => person))]
  const people = await tx.person.findMany({
    where: { businessId, id: { in: ids } },
    select: { id: true, name: true },
  })
  const names = new Map(people.map(({ id, name }) => [id, name]))
  const nameOf = (id: string) => names.get(id) || 'somebody'
  return {
    pairs: comparePeople(looks, nameOf).map((pair) => ({
      ...pair,
      oneName: nameOf(pair.one),
      otherName: nameOf(pair.other),
    })),
    looks: looks.reduce((sum, look) => sum + look.looks, 0),
    tanks: tankIds.length,
  }
}

/** The same for all of a business, of which a large one is told what the nightly work found. */
export const PEOPLE_COMPARISON: Question<PeopleComparison> = {
  name: 'people-comparison',
  shape: 1,
  freshForMs: 36 * 3_600_000,
  workOut: (tx, businessId) => comparePeopleIn(tx, businessId),
  revive: ({ pairs, ...rest }) => ({
    ...rest,
    pairs: pairs.map((pair) => ({
      ...pair,
      ratio: pair.ratio && {
        ...pair.ratio,
        oddsRatio: pair.ratio.oddsRatio ?? Infinity,
        upper: pair.ratio.upper ?? Infinity,
      },
    })),
  }),
}

/** Null: not worked out yet. */
export async function peopleComparison(actor: Actor, now: Date): Promise<PeopleComparison | null> {
  return inBusiness(actor, async (tx) => (await answerTo(tx, actor.businessId, PEOPLE_COMPARISON, now))?.answer ?? null)
}
