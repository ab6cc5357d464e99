/** Which line of which file became which row. Pure but for fresh ids. */
import type { Prisma } from '@/generated/prisma/client'
import { newId } from '@/lib/new-id'
import type { RowKind } from './existing'
import type { ImportPlan, Source } from './plan-types'
import type { Brought, Places } from './register-rows'

/** `visitIds`: by visit key. */
export function importRowRows(
  plan: ImportPlan,
  places: Places,
  visitIds: ReadonlyMap<string, string>,
  brought: Brought,
): Prisma.ImportRowCreateManyInput[] {
  const row = (fileKind: RowKind, source: Source, rowKey: string, entityId: string | null | undefined) => ({
    ...brought,
    id: newId(),
    fileKind,
    line: source.line,
    rowKey,
    entityId: entityId ?? null,
  })
  return [
    ...plan.clients.map((client) => row('clients', client.source, client.key, places.clients.get(client.key))),
    ...plan.sites.map((site) => row('sites', site.source, site.key, places.sites.get(site.key))),
    ...plan.tanks.map((tank) => row('tanks', tank.source, tank.key, places.tanks.get(tank.key)?.id)),
    ...plan.equipment.map((device) =>
      row(
        device.implied ? 'implied equipment' : 'equipment',
        device.source,
        device.key,
        places.devices.get(device.key)?.id,
      ),
    ),
    ...plan.visits.flatMap((visit) =>
      visit.rows.map((each) => row('visits', each.source, each.rowKey, visitIds.get(visit.key))),
    ),
  ]
}
