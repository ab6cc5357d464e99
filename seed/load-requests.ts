import { answerRequest, bookFromRequest } from '@/lib/office/booking/commands'
import { askForVisit } from '@/lib/office/client-record/commands'
import type { Actor } from '@/lib/office/frame/actor'
import { workday } from './calendar'
import { demoId } from './demo-ids'
import { applied } from './expect'
import type { DemoPlan } from './plan'
import { ANSWERED_REQUEST, BOOKED_REQUEST, REQUESTS } from './visit-words'

/** What clients ask for: some open, one answered, one already in the plan. */
export async function loadRequests(owner: Actor, clientPeople: readonly Actor[], plan: DemoPlan): Promise<void> {
  const nowMs = plan.calendar.now.getTime()
  const { businessId } = owner
  const ask = async (key: string, { client, words }: { client: number; words: string }) => {
    const person = clientPeople[client]
    const tank = plan.register.tanks.find((one) => one.client === client)
    if (!person || !tank) throw new Error(`client ${client} of the demo has nobody, or no tank`)
    const input = { commandId: demoId(nowMs, `request ${key}`), businessId, tankId: tank.id, words }
    return applied('ask for a visit', await askForVisit(person, input)).requestId
  }
  for (const [place, request] of REQUESTS.entries()) await ask(`${place}`, request)
  const answered = await ask('answered', ANSWERED_REQUEST)
  const answer = {
    commandId: demoId(nowMs, 'answer'),
    businessId,
    requestId: answered,
    answer: ANSWERED_REQUEST.answer,
  }
  applied('answer a client', await answerRequest(owner, answer))
  const booked = await ask('booked', BOOKED_REQUEST)
  const day = { date: workday(plan.calendar, 1, 3), windowStart: '14:00', windowEnd: '16:00', technicianId: '' }
  const what = {
    kind: 'call_out' as const,
    whatFor: 'Show the night porter how to feed',
    answer: BOOKED_REQUEST.answer,
  }
  const input = { commandId: demoId(nowMs, 'book request'), businessId, requestId: booked, ...what, ...day }
  const untimed = { plannedStart: '', plannedMinutes: 30, overlapAccepted: false }
  applied('book what a client asked for', await bookFromRequest(owner, { ...input, ...untimed }))
}
