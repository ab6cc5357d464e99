import { beforeAll, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { readObjections } from '@/lib/office/how-often/read-objections'
import { inScope } from '@/lib/platform/db/scope'
import { makeRound, type Round } from '../visits/round'

let round: Round
beforeAll(async () => {
  round = await makeRound()
  const { businessId, tankId } = round
  await inScope(round.scope, async (tx) => {
    const reservoir = async (label: string, capacity: number, filledBy: string) => {
      const id = newId()
      await tx.reservoir.create({
        data: { businessId, id, tankId, kind: 'top-up-water', label, unit: 'L', capacity, filledBy },
      })
      // Twenty litres a week, filled up each time.
      for (let week = 0; week < 12; week++) {
        const on = new Date(Date.UTC(2026, 8, 1) + week * 7 * 86_400_000)
        await tx.reservoirLevel.create({
          data: {
            ...{ businessId, id: newId(), reservoirId: id, commandId: newId() },
            ...{ levelBefore: capacity - 20, levelAfter: capacity, measuredOn: on, madeAt: on },
          },
        })
      }
    }
    await reservoir('Top-up water', 25, 'technician')
    await reservoir('Salt water', 400, 'technician')
    await reservoir('Their own can', 25, 'site-staff')
    await tx.repeatFault.create({
      data: {
        ...{ businessId, tankId, equipmentClass: 'protein-skimmer', failureMode: 'protein-skimmer/wheel-clogged' },
        ...{ observed: 9, expected: 2, rateRatio: 3, ratioLower: 2, ratioUpper: 5, probabilityAbove: 0.99 },
        ...{ pValue: 0.0001, adjustedP: 0.001, isSure: true, overdispersed: true, rank: 1, modelVersion: 1 },
      },
    })
  })
})

test('a container of ours that does not last so long, and a fault that surely comes back, speak against coming more rarely', async () => {
  const against = await inScope(round.scope, (tx) => readObjections(tx, round.businessId, [round.tankId], 20_783))
  const words = against(round.tankId, { presentDays: 7, days: 28 })
  expect(words).toHaveLength(2)
  // 25 litres at 20 a week: about nine days.
  expect(words[0]).toMatch(/^Top-up water lasts about (8|9) days when full$/)
  expect(words[1]).toMatch(/\(Protein skimmer\) comes back again and again$/)
  expect(against(round.tankId, { presentDays: 28, days: 14 })).toEqual([])
})
