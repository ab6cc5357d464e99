import { z } from 'zod'

/** A client asks for a visit, in their own words. */
export const askForVisitSchema = z.object({
  commandId: z.uuid(),
  businessId: z.uuid(),
  tankId: z.uuid(),
  words: z
    .string()
    .trim()
    .min(3, 'Please say in a few words what you have noticed.')
    .max(1000, 'Please keep it under 1,000 characters.'),
})
export type AskForVisitInput = z.output<typeof askForVisitSchema>
