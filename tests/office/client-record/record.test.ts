import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { askForVisit } from '@/lib/office/client-record/commands'
import { ourTanks, recordedVisit, tankRecord } from '@/lib/office/client-record/queries'
import type { Actor } from '@/lib/office/frame/actor'
import { inScope } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'

const NOW = new Date('2026-11-25T12:00:00Z')
const SECRET = 'the key is under the third stone'
const ids = {
  business: newId(),
  before: newId(),
  after: newId(),
  site: newId(),
  tank: newId(),
  old: newId(),
  recent: newId(),
  person: newId(),
}
const actorFor = (clientId: string, businessId = ids.business): Actor => ({
  businessId,
  personId: ids.person,
  membershipId: newId(),
  roles: ['client'],
  clientId,
  name: 'Somebody',
})

/** A tank that was one client's until June and is another's since: each has one visit in their own time. */
beforeAll(async () => {
  await testDatabase()
  const businessId = ids.business
  await inScope({ role: 'office', businessId, personId: newId() }, async (tx) => {
    await tx.business.create({ data: { id: businessId, name: 'Harbour Lane' } })
    for (const [id, name] of [
      [ids.before, 'Marram Library'],
      [ids.after, 'Kelp Quay Noodle Bar'],
    ] as const) {
      await tx.client.create({ data: { businessId, id, name } })
    }
    await tx.site.create({ data: { businessId, id: ids.site, clientId: ids.after, name: 'Reception' } })
    await tx.sitePrivate.create({ data: { businessId, id: newId(), siteId: ids.site, accessNote: SECRET } })
    await tx.tank.create({
      data: {
        businessId,
        id: ids.tank,
        clientId: ids.after,
        siteId: ids.site,
        name: 'Hall',
        profile: 'reef',
        volumeL: 450,
      },
    })
    await tx.tankClient.createMany({
      data: [
        {
          businessId,
          id: newId(),
          clientId: ids.before,
          tankId: ids.tank,
          since: new Date('2025-01-01'),
          until: new Date('2026-06-01'),
        },
        { businessId, id: newId(), clientId: ids.after, tankId: ids.tank, since: new Date('2026-06-01') },
      ],
    })
    const technicianId = newId()
    await tx.person.create({ data: { businessId, id: ids.person, name: 'Somebody' } })
    await tx.person.create({ data: { businessId, id: technicianId, name: 'Priya', isTechnician: true } })
    for (const [id, clientId, date] of [
      [ids.old, ids.before, '2026-03-02'],
      [ids.recent, ids.after, '2026-11-12'],
    ] as const) {
      await tx.visit.create({
        data: {
          businessId,
          id,
          clientId,
          tankId: ids.tank,
          siteId: ids.site,
          technicianId,
          kind: 'routine',
          state: 'done',
          outcome: 'done',
          localDate: new Date(date),
          timeZone: 'Europe/London',
          minutes: 52,
          noteForClient: 'One portion of food a day, please.',
        },
      })
      await tx.visitPrivate.create({
        data: {
          businessId,
          id: newId(),
          visitId: id,
          noteForUs: SECRET,
          cancelledReason: SECRET,
          leftEarlyReason: SECRET,
        },
      })
      await tx.finding.create({
        data: {
          businessId,
          id: newId(),
          clientId,
          tankId: ids.tank,
          visitId: id,
          equipmentClass: 'protein-skimmer',
          failureMode: 'protein-skimmer/impeller-film',
          asFound: 'needs_it',
          depth: 'opened',
          foundOn: new Date(date),
          madeAt: new Date(date),
          remedy: 'Brushed rotor and well',
          asLeft: 'running well',
          cureConfidence: 'sure',
        },
      })
      await tx.reading.create({
        data: {
          businessId,
          id: newId(),
          clientId,
          tankId: ids.tank,
          visitId: id,
          quantity: 'salinity',
          value: 35,
          unit: '',
          enteredValue: '35.0',
          enteredUnit: '',
          takenAt: new Date(date),
          takenOn: new Date(date),
        },
      })
    }
  })
})

describe('the record of a tank', () => {
  test('says who came, what was found and how the water is, in plain words', async () => {
    const record = await tankRecord(actorFor(ids.after), ids.tank, NOW)
    expect(record?.last).toMatchObject({
      date: '2026-11-12',
      minutes: 52,
      plain: { opening: 'Priya was here', note: 'One portion of food a day, please.' },
    })
    expect(record?.last?.plain.found[0]).toMatch(/needed attention; brushed rotor and well\. Running well\.$/)
    expect(record?.water).toMatchObject([
      { name: 'Salinity', value: 35, words: 'Salinity is as it should be.', isFine: true },
    ])
  })

  test('holds nothing internal and no odds', async () => {
    const text = JSON.stringify(await tankRecord(actorFor(ids.after), ids.tank, NOW))
    expect(text).not.toContain(SECRET)
    expect(text).not.toMatch(/probab|chance|odds|needs_it|accessNote|noteForUs/i)
  })

  test('shows each client only their own time with a tank that changed hands', async () => {
    const now = await tankRecord(actorFor(ids.after), ids.tank, NOW)
    const former = await tankRecord(actorFor(ids.before), ids.tank, NOW)
    expect([now?.last?.visitId, now?.earlier]).toEqual([ids.recent, []])
    expect([former?.last?.visitId, former?.earlier, former?.tank.isHeld, former?.next]).toEqual([
      ids.old,
      [],
      false,
      [],
    ])
    expect(await recordedVisit(actorFor(ids.after), ids.tank, ids.old)).toBeNull()
    expect((await ourTanks(actorFor(ids.before), NOW)).tanks).toEqual([])
  })

  test('is not there for another client or another business', async () => {
    expect(await tankRecord(actorFor(newId()), ids.tank, NOW)).toBeNull()
    await expect(tankRecord(actorFor(ids.after, newId()), ids.tank, NOW)).resolves.toBeNull()
  })
})

describe('asking for a visit', () => {
  test('arrives once, however often it is sent', async () => {
    const input = {
      commandId: newId(),
      businessId: ids.business,
      tankId: ids.tank,
      words: 'The skimmer goes up and down again.',
    }
    const actor = actorFor(ids.after)
    const answers = await Promise.all([askForVisit(actor, input), askForVisit(actor, input), askForVisit(actor, input)])
    expect(answers.map((answer) => answer.ok)).toEqual([true, true, true])
    const record = await tankRecord(actor, ids.tank, NOW)
    expect(record?.requests).toMatchObject([{ id: input.commandId, words: input.words, state: 'open' }])
  })

  test('the same words again are said to be there already while the first still wait, and are written anew after', async () => {
    const actor = actorFor(ids.after)
    const ask = (words: string) =>
      askForVisit(actor, { commandId: newId(), businessId: ids.business, tankId: ids.tank, words })
    const answers = await Promise.all([ask('The heater hums.'), ask('The  heater hums. '), ask('the heater hums.')])
    expect(answers.map((answer) => (answer.ok ? 'ok' : answer.reason)).sort()).toEqual([
      'already-asked',
      'already-asked',
      'ok',
    ])
    expect(answers.find((answer) => !answer.ok)).toMatchObject({ words: expect.stringContaining('received') })
    expect((await ask('The heater hums loudly.')).ok).toBe(true)
    await inScope({ role: 'office', businessId: ids.business, personId: newId() }, (tx) =>
      // Whichever of the three came first: it differs in blanks and capitals.
      tx.visitRequest.updateMany({ where: { words: { endsWith: 'hums.' } }, data: { state: 'answered' } }),
    )
    expect((await ask('The heater hums.')).ok).toBe(true)
  })

  test('shows in the list of tanks, beside how the tank is', async () => {
    const { tanks } = await ourTanks(actorFor(ids.after), NOW)
    const record = await tankRecord(actorFor(ids.after), ids.tank, NOW)
    const open = record?.requests.filter(({ state }) => state === 'open').map(({ id, askedOn }) => ({ id, askedOn }))
    expect(open?.length).toBeGreaterThan(0)
    expect(tanks).toMatchObject([{ state: { words: 'The water is as it should be.', isFine: true }, waiting: open }])
  })

  test('is refused for a tank that is no longer theirs', async () => {
    const input = { commandId: newId(), businessId: ids.business, tankId: ids.tank, words: 'May I still ask?' }
    expect(await askForVisit(actorFor(ids.before), input)).toMatchObject({ ok: false, reason: 'no-such-tank' })
  })
})
