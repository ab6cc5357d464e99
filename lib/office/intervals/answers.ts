import 'server-only'
import type { Transaction } from '@/lib/platform/db/scope'
import { ownNames } from '../due/queries'
import { type Actor, inBusiness } from '../frame/actor'
import { taskName } from '../lanes/due-items'
import { classWords } from '../lanes/lane-views'

/** What the owner said of an interval at one time, at one device or many. */
export type Answer = {
  /** Names it for taking it back. */
  answerId: string
  decision: 'accepted' | 'declined'
  taskName: string
  className: string
  /** What was proposed, or set; null: only when it is needed. */
  intervalDays: number | null
  formerDays: number | null
  decidedOn: string
  personName: string
  devices: number
  tanks: number
  /** At how many of the devices nothing was said since: there it can be taken back. */
  standing: number
  /** The tank, where it is one. */
  tankName: string
}

const ANSWERS_SHOWN = 30

/** What was decided of intervals, the newest first. */
export function answersGiven(actor: Actor): Promise<Answer[]> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const rows = await tx.$queryRaw<
      (Omit<Answer, 'taskName' | 'className'> & { careTask: string; equipmentClass: string })[]
    >`
      SELECT coalesce(choice.command_id, choice.id) AS "answerId", choice.decision, choice.care_task AS "careTask",
        chosen.equipment_class AS "equipmentClass", choice.interval_days AS "intervalDays", choice.former_days AS "formerDays",
        to_char(choice.decided_on, 'YYYY-MM-DD') AS "decidedOn", coalesce(person.name, '') AS "personName",
        count(*)::int AS devices, count(DISTINCT tank.id)::int AS tanks, min(tank.name) AS "tankName",
        (count(*) FILTER (WHERE NOT EXISTS (
          SELECT 1 FROM interval_choice later JOIN equipment other ON other.business_id = later.business_id AND other.id = later.equipment_id
          WHERE later.business_id = choice.business_id AND other.slot_id = chosen.slot_id AND later.care_task = choice.care_task
            AND (later.created_at, later.id) > (choice.created_at, choice.id)
            AND later.command_id IS DISTINCT FROM choice.command_id)))::int AS standing
      FROM interval_choice choice
      JOIN equipment chosen ON chosen.business_id = choice.business_id AND chosen.id = choice.equipment_id
      JOIN tank ON tank.business_id = chosen.business_id AND tank.id = chosen.tank_id
      LEFT JOIN person ON person.business_id = choice.business_id AND person.id = choice.person_id
      WHERE choice.business_id = ${businessId}::uuid
      GROUP BY 1, 2, 3, 4, 5, 6, 7, 8 ORDER BY max(choice.created_at) DESC, 1 LIMIT ${ANSWERS_SHOWN}`
    const names = await ownNames(tx, businessId)
    return rows.map(({ careTask, equipmentClass, ...row }) => ({
      ...row,
      taskName: taskName(careTask, names),
      className: classWords(equipmentClass, names),
    }))
  })
}

/** The newest word on one piece of work at one device, or at the one that stood in its place before. */
export type LastAnswer = Pick<Answer, 'decision' | 'intervalDays' | 'formerDays' | 'decidedOn' | 'personName'>

/** What the owner last said of this work here; null where nothing was said. */
export function lastAnswer(
  actor: Actor,
  { equipmentId, careTask }: { equipmentId: string; careTask: string },
): Promise<LastAnswer | null> {
  return inBusiness(actor, (tx) => readLastAnswer(tx, actor.businessId, equipmentId, careTask))
}

async function readLastAnswer(
  tx: Transaction,
  businessId: string,
  equipmentId: string,
  careTask: string,
): Promise<LastAnswer | null> {
  // What was said for another fault of the same work is not about what is due here now.
  const [row] = await tx.$queryRaw<LastAnswer[]>`
    SELECT choice.decision, choice.interval_days AS "intervalDays", choice.former_days AS "formerDays",
      to_char(choice.decided_on, 'YYYY-MM-DD') AS "decidedOn", coalesce(person.name, '') AS "personName"
    FROM equipment holder
    JOIN equipment chosen ON chosen.business_id = holder.business_id AND chosen.slot_id = holder.slot_id
      AND chosen.equipment_class = holder.equipment_class
    JOIN interval_choice choice ON choice.business_id = chosen.business_id AND choice.equipment_id = chosen.id
    LEFT JOIN due_item due ON due.business_id = holder.business_id AND due.equipment_id = holder.id
      AND due.care_task = choice.care_task
    LEFT JOIN person ON person.business_id = choice.business_id AND person.id = choice.person_id
    WHERE holder.business_id = ${businessId}::uuid AND holder.id = ${equipmentId}::uuid AND choice.care_task = ${careTask}
      AND (choice.failure_mode IS NULL OR due.failure_mode IS NULL OR choice.failure_mode = due.failure_mode)
    ORDER BY choice.created_at DESC, choice.id DESC LIMIT 1`
  return row ?? null
}
