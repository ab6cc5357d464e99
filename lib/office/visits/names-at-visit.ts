import 'server-only'
import { ownNames } from '../due/queries'
import { type Actor, inBusiness } from '../frame/actor'
import { classWords, modeWords } from '../lanes/lane-views'
import type { NamesAtVisit } from './form-problems'

/** What the devices and containers of a visit's tank are called; nothing has a name where the visit is not there. */
export function namesAtVisit(actor: Actor, visitId: string): Promise<NamesAtVisit> {
  const { businessId } = actor
  return inBusiness(actor, async (tx) => {
    const visit = await tx.visit.findFirst({ where: { businessId, id: visitId }, select: { tankId: true } })
    const where = { businessId, tankId: visit?.tankId ?? visitId }
    const devices = await tx.equipment.findMany({ where, select: { id: true, label: true, equipmentClass: true } })
    const containers = await tx.reservoir.findMany({
      where: { businessId, tank: { OR: [{ id: where.tankId }, { mergedIntoId: where.tankId }] } },
      select: { id: true, label: true },
    })
    const own = await ownNames(tx, businessId)
    const deviceNames = new Map(devices.map((one) => [one.id, one.label || classWords(one.equipmentClass, own)]))
    const containerNames = new Map(containers.map(({ id, label }) => [id, label]))
    return {
      device: (id) => deviceNames.get(id),
      container: (id) => containerNames.get(id),
      mode: (slug) => modeWords(slug, own),
    }
  })
}
