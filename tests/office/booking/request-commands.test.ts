import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { answerRequest, bookFromRequest, bookVisit, fillFromAgreements } from '@/lib/office/booking/commands'
import { type BookFromRequestInput, bookFromRequestSchema } from '@/lib/office/booking/schema'
import type { Actor } from '@/lib/office/frame/actor'
import { askAs, testDatabase } from '../../setup/database'
import { accepted, fresh, look, makeBusiness, makeClient, makeSite, makeTank } from '../clients/register'
import { addTechnician, askForVisit, booking } from './book'

let owner: Actor
let other: Actor
let clientId: string
let tankId: string
beforeAll(async () => {
  await testDatabase()
  owner = await makeBusiness('Harbour Lane')
  other = await makeBusiness('Another business')
  clientId = await makeClient(owner, { name: 'Port Ellery School' })
  tankId = await makeTank(owner, await makeSite(owner, clientId))
})

const find = (id: string) =>
  look(owner, (tx) =>
    tx.visitRequest.findUniqueOrThrow({ where: { businessId_id: { businessId: owner.businessId, id } } }),
  )
const plan = (requestId: string, fields: Partial<BookFromRequestInput> = {}) =>
  bookFromRequestSchema.parse({
    ...fresh(owner),
    requestId,
    kind: 'call_out',
    whatFor: 'Goes up and down again',
    date: '2026-11-26',
    plannedMinutes: 40,
    ...fields,
  })

describe('a client’s request', () => {
  test('asked by the client it becomes a visit of that tank, which the client sees', async () => {
    const requestId = newId()
    const asClient = { role: 'client', businessId: owner.businessId, clientId } as const
    await askAs(asClient, (client) =>
      client.query(
        `insert into visit_request (business_id, id, client_id, tank_id, words, asked_at) values ($1, $2, $3, $4, $5, now())`,
        [owner.businessId, requestId, clientId, tankId, 'goes up and down again'],
      ),
    )
    const { visitId } = accepted(await bookFromRequest(owner, plan(requestId)))
    expect(await find(requestId)).toMatchObject({ state: 'booked', visitId })
    const seen = await askAs(asClient, (client) =>
      client.query(
        `select visit.kind, visit.what_for, visit.tank_id from visit_request join visit on visit.id = visit_request.visit_id`,
      ),
    )
    expect(seen.rows).toEqual([{ kind: 'call_out', what_for: 'Goes up and down again', tank_id: tankId }])
  })

  test('of two people who book it at the same moment one does', async () => {
    const requestId = await askForVisit(owner, tankId, 'Cloudy')
    const answers = await Promise.all([
      bookFromRequest(owner, plan(requestId)),
      bookFromRequest(owner, plan(requestId)),
    ])
    expect(answers.map((answer) => (answer.ok ? 'booked' : answer.reason)).sort()).toEqual(['booked', 'not-open'])
  })

  test('an overlap asks for the yes and leaves the request open until then', async () => {
    const technicianId = await addTechnician(owner, 'Priya')
    accepted(await bookVisit(owner, booking(owner, tankId, { technicianId })))
    const requestId = await askForVisit(owner, tankId, 'Smells')
    const input = plan(requestId, { technicianId, plannedStart: '09:30' })
    expect(await bookFromRequest(owner, input)).toMatchObject({ reason: 'overlap' })
    expect((await find(requestId)).state).toBe('open')
    accepted(await bookFromRequest(owner, { ...input, overlapAccepted: true }))
  })

  test('can be answered without a visit, once', async () => {
    const requestId = await askForVisit(owner, tankId, 'Is the blue light on at night all right?')
    const answer = { requestId, answer: 'Yes, it is meant to be.' }
    accepted(await answerRequest(owner, { ...fresh(owner), ...answer }))
    expect(await find(requestId)).toMatchObject({ state: 'answered', answer: 'Yes, it is meant to be.', visitId: null })
    expect(await answerRequest(owner, { ...fresh(owner), ...answer })).toMatchObject({ reason: 'not-open' })
    expect(await bookFromRequest(owner, plan(requestId))).toMatchObject({ reason: 'not-open' })
  })

  test('is not there for another business', async () => {
    const requestId = await askForVisit(owner, tankId, 'Noise')
    expect(await bookFromRequest(other, { ...plan(requestId), ...fresh(other) })).toMatchObject({ reason: 'not-found' })
    expect(await answerRequest(other, { ...fresh(other), requestId, answer: 'No' })).toMatchObject({
      reason: 'not-found',
    })
    expect((await find(requestId)).state).toBe('open')
  })
})

describe('booking what is due in one go', () => {
  test('books what fits, says what does not, and a second sending books nothing twice', async () => {
    const technicianId = await addTechnician(owner, 'Tomas')
    const day = { technicianId, date: '2026-12-14' }
    const visits = [
      booking(owner, tankId, { ...day, plannedStart: '08:00' }),
      booking(owner, tankId, { ...day, plannedStart: '08:30' }),
      booking(owner, tankId, { ...day, plannedStart: '' }),
    ]
    const input = { businessId: owner.businessId, visits }
    const first = accepted(await fillFromAgreements(owner, input))
    expect(first.outcomes.map((outcome) => outcome.visitId !== undefined)).toEqual([true, false, true])
    expect(first.outcomes[1]?.words).toContain('Tomas is already booked then')
    expect(accepted(await fillFromAgreements(owner, input))).toEqual(first)
    const ids = visits.map((visit) => visit.commandId)
    expect(await look(owner, (tx) => tx.visit.count({ where: { id: { in: ids } } }))).toBe(2)
  })
})
