import * as z from 'zod'
import { text } from '../frame/fields'

/** A client asks for a visit, in their own words. */
export const askForVisitSchema = z.object({
  commandId: z.uuid(),
  businessId: z.uuid(),
  tankId: z.uuid(),
  words: text(1000, 'Please keep it under 1,000 characters.').min(
    3,
    'Please say in a few words what you have noticed.',
  ),
})
