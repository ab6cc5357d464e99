/**
 * The dry run of bringing old records: what would be added, what is here already, and everything that is wrong, by line. Pure;
 * what it plans does not hang on the order of rows, columns or files.
 */
import { byCodePoint, nameKey } from './keys'
import { findDevices, findTanks } from './known-places'
import { planClients } from './plan-clients'
import { planEquipment } from './plan-equipment'
import { planTanks } from './plan-tanks'
import { type ExistingRecords, type ImportFile, type ImportPlan, NOTHING_YET } from './plan-types'
import { planVisits } from './plan-visits'
import { readFiles } from './read-files'
import { startFindings } from './report'
import type { FileKind, ImportOptions, Mapping } from './schema'

const byKey = (a: { key: string }, b: { key: string }) => byCodePoint(a.key, b.key)
const byName = (a: { name: string; key: string }, b: { name: string; key: string }) =>
  byCodePoint(nameKey(a.name), nameKey(b.name)) || byKey(a, b)

/**
 * Plans an import of any of the four kinds of file. Nothing is written here; `ready` tells whether the plan may be.
 * Running it again with the records it made as `existing` adds nothing.
 */
export function planImport(
  files: readonly ImportFile[],
  options: ImportOptions = {},
  mapping: Mapping = {},
  existing: ExistingRecords = NOTHING_YET,
): ImportPlan {
  const inOrder = [...files].sort((a, b) => byCodePoint(a.name, b.name))
  const { summaries, read, rejected, refusals, questions } = readFiles(inOrder, options, mapping)
  const of = (kind: FileKind) => read.filter((file) => file.kind === kind)
  const findings = startFindings(rejected)
  const { clients, sites } = planClients(of('clients'), existing, findings)
  const { tanks, questions: gallons, here } = planTanks(of('tanks'), options, existing, { clients, sites }, findings)
  const tankOf = findTanks([...existing.tanks, ...here], tanks, findings)
  const listed = planEquipment(of('equipment'), existing, tankOf, findings)
  const deviceIn = findDevices([...existing.equipment, ...listed])
  const { visits, people, implied } = planVisits(of('visits'), existing, { tankOf, deviceIn }, findings)
  const asked = [...questions, ...gallons]
  return {
    files: summaries,
    clients: clients.sort(byName),
    sites: sites.sort(byKey),
    tanks: tanks.sort(byName),
    equipment: [...listed, ...implied].sort(byKey),
    people: people.sort(byName),
    visits: visits.sort((a, b) => byCodePoint(a.date, b.date) || byKey(a, b)),
    ...findings.finish(),
    questions: asked,
    refusals,
    ready: refusals.length === 0 && asked.length === 0 && summaries.length > 0,
  }
}
