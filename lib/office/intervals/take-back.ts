import 'server-only'
import { newId } from '@/lib/new-id'
import { todayOf } from '../frame/business-day'
import { defineCommand } from '../frame/command'
import { asDbDate } from '../frame/days'
import { done, refused } from '../frame/result'
import { recomputeDue } from '../lanes/commands'
import { takeBackSchema } from './schema'

type Standing = {
  equipmentId: string
  careTask: string
  failureMode: string | null
  decision: string
  intervalDays: number | null
  formerDays: number | null
  modelVersion: number
}

/**
 * Turns an answer round where nothing was said since: what was accepted goes back to the interval before, what was declined is taken after all. A further row says
 * so, and the due dates follow at once.
 */
export const takeBackAnswer = defineCommand(
  { kind: 'interval.take-back', may: 'due.change', schema: takeBackSchema },
  async (context, input) => {
    const { tx, actor } = context
    const { businessId, personId } = actor
    const { commandId, answerId } = input
    const standing = await tx.$queryRaw<Standing[]>`
      SELECT choice.equipment_id AS "equipmentId", choice.care_task AS "careTask", choice.failure_mode AS "failureMode",
        choice.decision, choice.interval_days AS "intervalDays", choice.former_days AS "formerDays",
        choice.model_version AS "modelVersion"
      FROM interval_choice choice
      JOIN equipment chosen ON chosen.business_id = choice.business_id AND chosen.id = choice.equipment_id
      WHERE choice.business_id = ${businessId}::uuid AND coalesce(choice.command_id, choice.id) = ${answerId}::uuid
        AND NOT EXISTS (
          SELECT 1 FROM interval_choice later JOIN equipment other ON other.business_id = later.business_id AND other.id = later.equipment_id
          WHERE later.business_id = choice.business_id AND other.slot_id = chosen.slot_id AND later.care_task = choice.care_task
            AND (later.created_at, later.id) > (choice.created_at, choice.id)
            AND later.command_id IS DISTINCT FROM choice.command_id)
      ORDER BY choice.equipment_id`
    if (standing.length === 0)
      return refused('changed', 'Something else was decided since. Reload the page and change the newest answer.')
    const decidedOn = asDbDate(await todayOf(context))
    await tx.intervalChoice.createMany({
      data: standing.map(({ decision, intervalDays, formerDays, ...said }) => {
        const [to, from] = decision === 'accepted' ? [formerDays, intervalDays] : [intervalDays, formerDays]
        const row = { businessId, id: newId(), commandId, personId, decidedOn, decision: 'accepted' }
        return { ...row, ...said, intervalDays: to, formerDays: from }
      }),
    })
    // Where a device was swapped since, the answer holds for the one that stands in its place.
    const holders = await tx.$queryRaw<{ id: string }[]>`
      SELECT DISTINCT holder.id FROM equipment chosen
      JOIN equipment holder ON holder.business_id = chosen.business_id AND holder.slot_id = chosen.slot_id
        AND holder.removed_on IS NULL
      WHERE chosen.business_id = ${businessId}::uuid AND chosen.id = ANY (${standing.map(({ equipmentId }) => equipmentId)}::uuid[])`
    await recomputeDue(
      tx,
      businessId,
      holders.map(({ id }) => id),
    )
    await context.audit('interval_choice', commandId, 'take-back', { answerId }, { devices: standing.length })
    return done({ devices: standing.length })
  },
)
