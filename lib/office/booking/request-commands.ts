import 'server-only'
import { type CommandContext, defineCommand } from '../frame/command'
import { done, refused } from '../frame/result'
import { PLAN } from './change-plan'
import { answerRequestSchema, bookFromRequestSchema } from './schema'
import { writeBooking } from './visit-commands'

/** Turns a client's open request into a booked visit; the request remembers which. */
export const bookFromRequest = defineCommand(
  { ...PLAN, kind: 'visit-request.book', schema: bookFromRequestSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const { requestId, answer, kind, whatFor, businessId: _business, commandId: _command, ...plan } = input
    const request = await openRequest(context, requestId)
    if (!request.ok) return request
    const { tankId, clientId, tank } = request.value
    if (tank.clientId !== clientId)
      return refused('does-not-fit', 'This tank has gone to another client since. Answer the request instead.')
    const visit = await writeBooking(context, { ...plan, kind, whatFor, tankId })
    if (!visit.ok) return visit
    const after = { state: 'booked', visitId: visit.value.visitId, answer }
    await tx.visitRequest.update({
      where: { businessId_id: { businessId: actor.businessId, id: requestId } },
      data: after,
    })
    await audit('visit_request', requestId, 'book', { state: 'open' }, after)
    return visit
  },
)

/** Answers a request without a visit; the client reads the answer. */
export const answerRequest = defineCommand(
  { ...PLAN, kind: 'visit-request.answer', schema: answerRequestSchema },
  async (context, input) => {
    const { tx, actor, audit } = context
    const { requestId, answer } = input
    const request = await openRequest(context, requestId)
    if (!request.ok) return request
    const after = { state: 'answered', answer }
    await tx.visitRequest.update({
      where: { businessId_id: { businessId: actor.businessId, id: requestId } },
      data: after,
    })
    await audit('visit_request', requestId, 'answer', { state: 'open' }, after)
    return done({ requestId })
  },
)

/** A request nobody has dealt with yet, locked so that two people cannot both book it. */
async function openRequest({ tx, actor }: CommandContext, requestId: string) {
  const { businessId } = actor
  await tx.$queryRaw`SELECT id FROM visit_request WHERE business_id = ${businessId}::uuid AND id = ${requestId}::uuid FOR UPDATE`
  const request = await tx.visitRequest.findUnique({
    where: { businessId_id: { businessId, id: requestId } },
    select: { tankId: true, clientId: true, state: true, tank: { select: { clientId: true } } },
  })
  if (!request) return refused('not-found', 'This request is not here any more. Reload the page.')
  if (request.state !== 'open')
    return refused(
      'not-open',
      request.state === 'booked' ? 'A visit is already booked for it.' : 'It is already answered.',
    )
  return done(request)
}
