import 'server-only'
import { cache } from 'react'
import { type Actor, inBusiness } from '../frame/actor'
import { requireSession } from './session'

/** What the frame around a page says of the business and the person. */
export type FrameWords = { businessName: string; isDemo: boolean; phone: string; email: string }

/** The frame's words, read once per request. */
const readFrame = cache(
  (actor: Actor): Promise<FrameWords> =>
    inBusiness(actor, async (tx) => {
      const { name, isDemo, phone, email } = await tx.business.findUniqueOrThrow({
        where: { id: actor.businessId },
        select: { name: true, isDemo: true, phone: true, email: true },
      })
      return { businessName: name, isDemo, phone, email }
    }),
)

/**
 * Who is signed in and the words for the frame; sends everybody else to the sign-in page. The page inside decides what
 * this person may see: a layout is not rendered again on the way from page to page.
 */
export async function requireFrame(): Promise<{ actor: Actor; frame: FrameWords }> {
  const { actor } = await requireSession()
  return { actor, frame: await readFrame(actor) }
}
