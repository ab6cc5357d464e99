/** Finds the client, tank and device that a row names, among those planned and those already here. Pure. */
import { groupBy } from '../frame/group-by'
import { plainWords } from '../frame/plain-words'
import { equipmentClassOf } from './class-words'
import { clientKey, nameKey, siteKey, tidy } from './keys'
import type { ExistingRecords, PlannedClient, PlannedEquipment, PlannedSite, PlannedTank } from './plan-types'
import type { Findings } from './report'

export type Found<T> = { ok: true; value: T } | { ok: false; reason: string }
type TankHere = { key: string; name: string; clientKey: string; id?: string }
type DeviceHere = Pick<PlannedEquipment, 'key' | 'tankKey' | 'classSlug' | 'classWords' | 'label'> & { id?: string }

/** One entry a thing: the first of those that are the same one under several keys. */
function distinct<T extends { key: string; id?: string }>(items: readonly T[]): T[] {
  const found = new Map<string, T>()
  for (const item of items) if (!found.has(item.id ?? item.key)) found.set(item.id ?? item.key, item)
  return [...found.values()]
}

/** By name: the client of a tank, and which of the client's sites the tank stands at. */
export function findSites(
  existing: ExistingRecords,
  clients: readonly PlannedClient[],
  sites: readonly PlannedSite[],
  findings: Findings,
) {
  const clientKeys = new Set([...existing.clients, ...clients].map((client) => client.key))
  const sitesOf = groupBy([...existing.sites, ...sites], (site) => site.clientKey)
  return (clientName: string, address: string): Found<{ clientKey: string; siteKey: string }> => {
    const name = tidy(clientName)
    const key = clientKey(name)
    if (name === '') return { ok: false, reason: 'the tank has no client' }
    if (!clientKeys.has(key)) {
      const refused = findings.refusedNames.clients.has(nameKey(name))
      return {
        ok: false,
        reason: refused ? `its client “${name}” was not taken either` : `there is no client called “${name}”`,
      }
    }
    const here = sitesOf.get(key) ?? []
    const place = tidy(address)
    const wanted = place === '' ? undefined : here.find((site) => site.key === siteKey(key, place))
    if (place !== '' && !wanted) return { ok: false, reason: `“${name}” has no site at “${place}”` }
    const [only, second] = distinct(here)
    if (second && !wanted)
      return { ok: false, reason: `“${name}” has more than one site; an address column must say which` }
    return { ok: true, value: { clientKey: key, siteKey: (wanted ?? only)?.key ?? siteKey(key, null) } }
  }
}

/** By name, within a client where one is named: the tank of a device or a visit. */
export function findTanks(existing: ExistingRecords['tanks'], tanks: readonly PlannedTank[], findings: Findings) {
  const all: TankHere[] = [...existing, ...tanks]
  const byName = groupBy(all, (tank) => nameKey(tank.name))
  const firstById = new Map(distinct(all).map((tank) => [tank.id ?? tank.key, tank]))
  return (tankName: string, clientName: string): Found<TankHere> => {
    const name = tidy(tankName)
    if (name === '') return { ok: false, reason: 'no tank is named' }
    const client = tidy(clientName)
    const named = byName.get(nameKey(name)) ?? []
    const fitting = distinct(client === '' ? named : named.filter((tank) => tank.clientKey === clientKey(client)))
    const [tank, second] = fitting
    if (second)
      return { ok: false, reason: `more than one client has a tank called “${name}”; a client column must say which` }
    if (tank) return { ok: true, value: firstById.get(tank.id ?? tank.key) ?? tank }
    if (findings.refusedNames.tanks.has(nameKey(name)))
      return { ok: false, reason: `the tank “${name}” was not taken either` }
    const whose = client === '' ? '' : ` of “${client}”`
    return { ok: false, reason: `there is no tank called “${name}”${whose}` }
  }
}

/** By its label or its kind, within a tank: the device that was looked at. `null`: the tank has none such. */
export function findDevices(devices: readonly DeviceHere[]) {
  const byTank = groupBy(distinct(devices), (device) => device.tankKey)
  return (tank: TankHere, words: string): Found<DeviceHere | null> => {
    const here = byTank.get(tank.key) ?? []
    const plain = plainWords(words)
    const labelled = here.filter((device) => device.label !== null && plainWords(device.label) === plain)
    const { slug } = equipmentClassOf(words)
    const fitting = labelled.length > 0 ? labelled : here.filter((device) => device.classSlug === slug)
    const [device, second] = fitting
    if (second)
      return {
        ok: false,
        reason: `“${tank.name}” has more than one ${words.trim()}; the row must name the one by its label`,
      }
    return { ok: true, value: device ?? null }
  }
}
