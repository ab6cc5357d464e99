/** What is typed about a decided remedy; the same on the screen and on the server. */
import * as z from 'zod'
import { commandFields, isoDate } from '../clients/schema'
import { text } from '../frame/fields'
import { slug } from '../frame/schema'

const remedy = text(500).min(1, 'What was decided?')
const pairFields = {
  tankId: z.uuid(),
  equipmentClass: slug,
  failureMode: slug,
}

export const recordRemedySchema = z.object({ ...commandFields, ...pairFields, remedy, effectiveOn: isoDate })

export const correctRemedySchema = z.object({ ...commandFields, remedyId: z.uuid(), remedy, effectiveOn: isoDate })

export const takeBackRemedySchema = z.object({ ...commandFields, remedyId: z.uuid() })
