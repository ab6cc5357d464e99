import { beforeAll, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import type { Actor } from '@/lib/office/frame/actor'
import { partsPage } from '@/lib/office/parts/queries'
import { inScope } from '@/lib/platform/db/scope'
import { testDatabase } from '../../setup/database'

const NOW = new Date('2026-11-25T12:00:00Z')
const businessId = newId()
const actor = (of: string): Actor => ({
  businessId: of,
  personId: newId(),
  membershipId: newId(),
  roles: ['owner'],
  name: 'Owner',
})

const used = async (of: string) => (await partsPage(actor(of), NOW)).used?.answer

beforeAll(async () => {
  await testDatabase()
  await inScope({ role: 'office', businessId, personId: newId() }, async (tx) => {
    const [clientId, siteId, tankId] = [newId(), newId(), newId()]
    await tx.business.create({ data: { id: businessId, name: 'Harbour Lane' } })
    await tx.client.create({ data: { businessId, id: clientId, name: 'One' } })
    await tx.site.create({ data: { businessId, id: siteId, clientId, name: 'One' } })
    await tx.tank.create({
      data: { businessId, id: tankId, clientId, siteId, name: 'Hall', profile: 'reef', volumeL: 100 },
    })
    const use = (description: string, quantity: number, on: string, correctsId?: string) => {
      const id = newId()
      const usedOn = new Date(on)
      return {
        id,
        data: {
          businessId,
          id,
          clientId,
          tankId,
          description,
          quantity,
          usedOn,
          ...(correctsId ? { correctsId } : {}),
        },
      }
    }
    const wrong = use('Dosing tube', 9, '2026-11-01')
    for (const part of [
      wrong,
      use('Dosing tube', 2, '2026-11-01', wrong.id),
      use('Dosing tube', 1, '2026-02-01'),
      use('Rotor set', 1, '2024-01-01'),
    ]) {
      await tx.partUsed.create({ data: part.data })
    }
  })
})

test('counts what was used, corrected figures instead of wrong ones, and nothing older than a year', async () => {
  expect(await used(businessId)).toEqual([
    { description: 'Dosing tube', quarter: 2, year: 3, tanks: 1, lastUsedOn: '2026-11-01', unbilled: 2 },
  ])
})

test('another business used nothing', async () => {
  const other = newId()
  await inScope({ role: 'office', businessId: other, personId: newId() }, (tx) =>
    tx.business.create({ data: { id: other, name: 'Other' } }),
  )
  expect(await used(other)).toEqual([])
})
