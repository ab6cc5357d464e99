/** What is typed about a decided remedy; the same on the screen and on the server. */
import { z } from 'zod'
import { commandFields, isoDate } from '../clients/schema'

const remedy = z.string().trim().min(1, 'What was decided?').max(500, 'Keep it under 500 characters.')
const pairFields = {
  tankId: z.uuid(),
  equipmentClass: z.string().min(1).max(200),
  failureMode: z.string().min(1).max(200),
}

export const recordRemedySchema = z.object({ ...commandFields, ...pairFields, remedy, effectiveOn: isoDate })
export type RecordRemedyInput = z.infer<typeof recordRemedySchema>

export const correctRemedySchema = z.object({ ...commandFields, remedyId: z.uuid(), remedy, effectiveOn: isoDate })
export type CorrectRemedyInput = z.infer<typeof correctRemedySchema>

export const takeBackRemedySchema = z.object({ ...commandFields, remedyId: z.uuid() })
export type TakeBackRemedyInput = z.infer<typeof takeBackRemedySchema>
