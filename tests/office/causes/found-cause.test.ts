import { beforeAll, describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { writeFoundCause } from '@/lib/office/causes/commands'
import { signAtVisit, signsAtVisit } from '@/lib/office/causes/queries'
import { foundCauseSchema, type Move } from '@/lib/office/causes/schema'
import { inScope } from '@/lib/platform/db/scope'
import { bookVisit, makePhone, makeRound, type Round } from '../visits/round'
import { recordOf, sendAs } from '../visits/say'

let round: Round
beforeAll(async () => {
  round = await makeRound()
})

const SIGN = 'skimmer-unsteady'
const MOVES: Move[] = [
  { did: 'readied', setUp: 'plug-out' },
  { did: 'readied', setUp: 'lifted-out' },
  { did: 'readied', setUp: 'pump-open' },
  { did: 'found', cause: 'wheel-clogged' },
]
const foundAt = (visitId: string, over: Record<string, unknown> = {}) =>
  foundCauseSchema.parse({
    ...{ commandId: newId(), businessId: round.businessId, visitId, sign: SIGN, cause: 'wheel-clogged' },
    ...{ equipmentId: round.devices.skimmer.id, moves: JSON.stringify(MOVES) },
    ...{ asFound: 'needs_it', putRight: 'now', asLeft: 'foams evenly', cureConfidence: 'likely' },
    ...over,
  })

describe('the end of a search', () => {
  test('is one form: the case, how it was found, the work with its renewals, and what stood still for it', async () => {
    const visitId = await bookVisit(round)
    const form = foundAt(visitId)
    expect(await writeFoundCause(round.actor, form)).toEqual({ ok: true, value: { visitId, leadsTo: '' } })
    const record = await recordOf(round, visitId)
    expect(record.cases).toMatchObject([{ sign: SIGN, cause: 'wheel-clogged', equipmentId: round.devices.skimmer.id }])
    const mode = 'protein-skimmer/wheel-clogged'
    expect(record.findings).toMatchObject([
      {
        mode,
        asFound: 'needs_it',
        asLeft: 'foams evenly',
        cureConfidence: 'likely',
        remedy: expect.stringContaining('wheel'),
      },
    ])
    expect(record.work).toMatchObject([{ task: 'protein-skimmer/clear-wheel', partial: false }])
    expect(record.renewals.find((renewal) => renewal.mode === mode)?.reason).toBe('found')
    expect(record.switchedOff).toEqual(['protein-skimmer'])
    // The same form again, as after a lost answer.
    expect(await writeFoundCause(round.actor, form)).toMatchObject({ ok: true })
    expect((await recordOf(round, visitId)).cases).toHaveLength(1)
  })

  test('moves the shares of the next search, and taken back it counts no more', async () => {
    const own = await makeRound()
    const visitId = await bookVisit(own)
    const share = async () => {
      const page = await signAtVisit(own.actor, { visitId, sign: SIGN, equipmentId: '' })
      const seen = page?.view.causes.find(({ slug }) => slug === 'impeller-grit')?.seen
      const cause = page?.model.causes.find(({ slug }) => slug === 'impeller-grit')
      return { seen, weight: (cause?.prior ?? 0) + (cause?.seen ?? 0) }
    }
    const before = await share()
    const form = {
      ...foundAt(visitId),
      businessId: own.businessId,
      cause: 'impeller-grit',
      equipmentId: own.devices.skimmer.id,
    }
    expect(await writeFoundCause(own.actor, form)).toMatchObject({ ok: true })
    expect(await share()).toEqual({ seen: 1, weight: before.weight + 1 })
    const back = makePhone(own, visitId)({ kind: 'visit.take-back', takesBack: form.commandId })
    expect(await sendAs(own.actor, back)).toMatchObject([{ ok: true }])
    expect(await share()).toEqual(before)
    expect((await recordOf(own, visitId)).cases).toEqual([])
  })

  test('not found is an honest end with a follow-up; nothing of a refused form is kept', async () => {
    const visitId = await bookVisit(round)
    const asked = {
      cause: 'not-found',
      followUp: 'Look again',
      followUpOn: '',
      asFound: undefined,
      putRight: undefined,
    }
    const form = foundAt(visitId, asked)
    expect(await writeFoundCause(round.actor, form)).toMatchObject({
      ok: false,
      fields: { followUpOn: [expect.any(String)] },
    })
    const past = foundAt(visitId, { ...asked, followUpOn: '2020-01-01' })
    expect(await writeFoundCause(round.actor, past)).toMatchObject({ ok: false, reason: 'does-not-fit' })
    const commands = await inScope(round.scope, (tx) => tx.command.count({ where: { visitId } }))
    expect(commands).toBe(0)
    const right = { ...past, followUpOn: '2100-01-04' }
    expect(await writeFoundCause(round.actor, right)).toMatchObject({ ok: true })
    const record = await recordOf(round, visitId)
    expect(record).toMatchObject({ cases: [{ cause: 'not-found' }], promises: [{ what: 'Look again' }], findings: [] })
  })

  test('of a device how bad it was and whether it was put right is asked; another business sees no sign', async () => {
    const visitId = await bookVisit(round)
    const silent = foundAt(visitId, { asFound: undefined })
    expect(await writeFoundCause(round.actor, silent)).toMatchObject({
      ok: false,
      fields: { asFound: [expect.any(String)] },
    })
    const later = foundAt(visitId, { putRight: 'later', asLeft: 'runs, weak' })
    expect(await writeFoundCause(round.actor, later)).toMatchObject({ ok: true })
    expect(await recordOf(round, visitId)).toMatchObject({ work: [], findings: [{ remedy: '', cureConfidence: null }] })
    const other = await makeRound()
    expect(await signsAtVisit(other.actor, visitId)).toBeNull()
    expect(await signAtVisit(other.actor, { visitId, sign: SIGN, equipmentId: '' })).toBeNull()
    expect(await writeFoundCause(other.actor, { ...foundAt(visitId), businessId: other.businessId })).toMatchObject({
      ok: false,
    })
    const listed = await signsAtVisit(round.actor, visitId)
    expect(listed?.signs.map(({ sign }) => sign)).toContain(SIGN)
  })

  test('where it can be at one of two devices, which one is asked; without a device it is a note', async () => {
    const own = await makeRound()
    const visitId = await bookVisit(own)
    const second = newId()
    await inScope(own.scope, async (tx) => {
      const place = { businessId: own.businessId, tankId: own.tankId, equipmentClass: 'heater', label: 'Heater B' }
      await tx.slot.create({ data: { ...place, id: second } })
      await tx.equipment.create({ data: { ...place, id: second, slotId: second } })
    })
    const page = await signAtVisit(own.actor, { visitId, sign: 'temperature-low', equipmentId: '' })
    const cause = page?.view.causes.find(({ devices }) => devices.length === 2)
    if (!cause) throw new Error('no cause of it is a heater’s')
    const at = { businessId: own.businessId, sign: 'temperature-low', cause: cause.slug, equipmentId: '', moves: '[]' }
    const unsaid = await writeFoundCause(own.actor, foundAt(visitId, { ...at, putRight: 'later' }))
    expect(unsaid).toMatchObject({ ok: false, fields: { atDeviceId: [expect.any(String)] } })
    const said = foundAt(visitId, { ...at, atDeviceId: second, putRight: 'later' })
    expect(await writeFoundCause(own.actor, said)).toMatchObject({ ok: true })
    expect((await recordOf(own, visitId)).findings).toMatchObject([{ equipmentId: second }])
    expect(await writeFoundCause(own.actor, { ...said, commandId: newId() })).toMatchObject({ ok: false })

    const other = await signAtVisit(own.actor, { visitId, sign: 'cloudy-water', equipmentId: '' })
    const plain = other?.view.causes.find((one) => one.devices.length === 0 && !one.last && !one.leadsTo)
    if (!plain) throw new Error('every cause of it is a device’s')
    const noted = foundAt(visitId, { ...at, sign: 'cloudy-water', cause: plain.slug, putRight: 'now', asLeft: 'clear' })
    expect(await writeFoundCause(own.actor, noted)).toMatchObject({ ok: true })
    expect((await recordOf(own, visitId)).notesForUs[0]?.text).toContain('Put right. clear')
  })
})
