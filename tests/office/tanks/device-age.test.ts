import { expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { asDbDate } from '@/lib/office/frame/days'
import { devicesOf } from '@/lib/office/tanks/tank-devices'
import { inScope } from '@/lib/platform/db/scope'
import { makeRound } from '../visits/round'

test('a device is as old as its last exchange says, where that is later than the day that was told', async () => {
  const round = await makeRound()
  const { businessId, tankId, devices, scope } = round
  const device = async (id: string) =>
    (await inScope(scope, (tx) => devicesOf(tx, businessId, tankId, asDbDate('2026-11-26')))).find(
      (one) => one.id === id,
    )
  const renew = (equipmentId: string, failureMode: string, on: string, isPartial = false) =>
    inScope(scope, (tx) =>
      tx.renewal.create({
        data: {
          ...{ businessId, id: newId(), tankId, equipmentId, failureMode, reason: 'schedule', isPartial },
          ...{ renewedOn: asDbDate(on), madeAt: asDbDate(on) },
        },
      }),
    )
  const { heater, returnPump } = devices
  await renew(heater.id, 'heater/stuck', '2026-08-26')
  await renew(heater.id, 'heater/stuck', '2026-10-26', true) // only in part: no new heater
  await renew(returnPump.id, 'return-pump/impeller-dirty', '2026-08-26') // cleaned, not exchanged
  expect(await device(heater.id)).toMatchObject({ newSince: '2026-08-26', wasExchanged: true, age: '3 months' })
  expect(await device(returnPump.id)).toMatchObject({ newSince: null, wasExchanged: false, age: 'unknown' })
  const told = (on: string) =>
    inScope(scope, (tx) =>
      tx.equipment.update({
        where: { businessId_id: { businessId, id: heater.id } },
        data: { installedOn: asDbDate(on) },
      }),
    )
  await told('2024-11-26')
  expect(await device(heater.id)).toMatchObject({ installedOn: '2024-11-26', newSince: '2026-08-26' })
  await told('2026-10-27')
  expect(await device(heater.id)).toMatchObject({ newSince: '2026-10-27', wasExchanged: false })
})
