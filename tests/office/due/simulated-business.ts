import { newId } from '@/lib/new-id'
import { inScope, type Scope } from '@/lib/platform/db/scope'
import { makeRecords } from '../../simulation/make-records'
import { cleanRows, readDay, SLUGS } from '../../trade/old-records/read-records'

/** A simulated business written straight into the tables, as an import would leave it, without the import's own bookkeeping. */
export async function writeSimulatedBusiness(seed: number, options: { tankCount: number; weeks: number }) {
  const records = makeRecords(seed, options)
  const businessId = newId()
  const scope: Scope = { role: 'office', businessId, personId: newId() }
  const clientId = newId()
  const siteId = newId()
  const tanks = records.tanks.map((tank) => ({ id: newId(), name: tank.name }))
  const tankId = new Map(tanks.map((tank) => [tank.name, tank.id]))
  const devices = records.equipment.map((device) => ({
    id: newId(),
    slotId: newId(),
    tank: device.tank,
    words: device.equipment,
    equipmentClass: classOf(device.equipment),
  }))
  const deviceOf = new Map(devices.map((device) => [`${device.tank} ${device.words}`, device]))
  const rows = cleanRows(
    records.visits,
    records.tanks.map((tank) => tank.name),
  ).filter((row) => row.looked_at)
  await inScope(
    scope,
    async (tx) => {
      await tx.business.create({ data: { id: businessId, name: `Simulated ${seed}` } })
      await tx.client.create({ data: { businessId, id: clientId, name: 'One client' } })
      await tx.site.create({ data: { businessId, id: siteId, clientId, name: 'One site' } })
      await tx.tank.createMany({
        data: tanks.map((tank) => ({ businessId, ...tank, clientId, siteId, profile: 'reef', volumeL: 300 })),
      })
      await tx.tankClient.createMany({
        data: tanks.map((tank) => ({
          businessId,
          id: newId(),
          clientId,
          tankId: tank.id,
          since: new Date('2023-01-01'),
        })),
      })
      const common = (device: (typeof devices)[number]) => ({
        businessId,
        tankId: tankId.get(device.tank) ?? '',
        equipmentClass: device.equipmentClass,
        label: device.words,
      })
      await tx.slot.createMany({ data: devices.map((device) => ({ ...common(device), id: device.slotId })) })
      await tx.equipment.createMany({
        data: devices.map((device) => ({ ...common(device), id: device.id, slotId: device.slotId })),
      })
      const happened = rows.flatMap((row) => {
        const device = deviceOf.get(`${row.tank} ${row.equipment}`)
        const failureMode = SLUGS[`${row.equipment} / ${row.looked_at}`]
        const day = readDay(row.date)
        if (!device || !failureMode || day === null) return []
        return [{ row, device, failureMode, on: new Date(day * 86_400_000) }]
      })
      await tx.finding.createMany({
        data: happened.map(({ row, device, failureMode, on }) => ({
          businessId,
          id: newId(),
          clientId,
          tankId: tankId.get(device.tank) ?? '',
          slotId: device.slotId,
          equipmentId: device.id,
          equipmentClass: device.equipmentClass,
          failureMode,
          asFound: ['ok', 'fine'].includes(row.as_found.toLowerCase()) ? 'ok' : 'needs_it',
          depth: 'measured',
          foundOn: on,
          madeAt: on,
        })),
      })
      await tx.renewal.createMany({
        data: happened
          .filter(({ row }) => row.done)
          .map(({ row, device, failureMode, on }) => ({
            businessId,
            id: newId(),
            tankId: tankId.get(device.tank) ?? '',
            slotId: device.slotId,
            equipmentId: device.id,
            failureMode,
            reason: ['ok', 'fine'].includes(row.as_found.toLowerCase()) ? 'schedule' : 'found',
            renewedOn: on,
            madeAt: on,
          })),
      })
    },
    { timeoutMs: 60_000 },
  )
  return { scope, businessId, clientId, tankId, devices, records }
}

function classOf(words: string): string {
  const key = Object.keys(SLUGS).find((name) => name.startsWith(`${words} / `))
  return (key ? SLUGS[key] : undefined)?.split('/')[0] ?? words
}
