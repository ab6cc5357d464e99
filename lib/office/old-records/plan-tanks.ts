/** Tanks, from the rows of a tank file. Pure. */

import { parseVolume } from '../frame/volumes'
import { parseCadence } from './cadence'
import { nameKey, tankKey, tidy } from './keys'
import { tankKindOf, yesOrNo } from './kind-words'
import { findSites } from './known-places'
import type { ExistingRecords, PlannedClient, PlannedSite, PlannedTank, Question } from './plan-types'
import type { ReadFile, Row } from './read-files'
import type { Findings } from './report'
import type { ImportOptions } from './schema'
import { type Candidate, settleRepeats } from './settle-repeats'

type TankRow = Omit<PlannedTank, 'source'>

const ASSUMED_GALLON = 'us'

/** Volumes without a unit are litres; a gallon that does not say which is asked about, and stands as US until answered. */
function readTank(row: Row, file: ReadFile, options: ImportOptions, siteOf: ReturnType<typeof findSites>) {
  const reasons: string[] = []
  const name = tidy(row.get('name'))
  if (name === '') reasons.push('the tank has no name')
  const place = siteOf(row.get('client'), row.get('address'))
  if (!place.ok) reasons.push(place.reason)
  const written = tidy(row.get('volume'))
  const gallon = options.gallon ?? ASSUMED_GALLON
  const volume = written === '' ? null : parseVolume(written, file.dialect.decimalMark, gallon, file.unitOf('volume'))
  if (!volume) reasons.push('the tank has no volume, and doses are reckoned from it')
  else if (!volume.ok) reasons.push(volume.reason)
  const refugium = yesOrNo(row.get('refugium'))
  if (refugium === null) reasons.push(`“${row.get('refugium').trim()}” under refugium is neither yes nor no`)
  const cadence = parseCadence(row.get('every'))
  if (!cadence.ok) reasons.push(cadence.reason)
  if (reasons.length > 0 || !place.ok || !cadence.ok || !volume?.ok || refugium === null)
    return { ok: false as const, reasons }
  const kindWords = tidy(row.get('kind'))
  const value: TankRow = {
    key: tankKey(place.value.clientKey, name),
    ...place.value,
    name,
    kind: tankKindOf(kindWords),
    kindWords,
    volumeL: volume.volumeL,
    volumeUnit: volume.unit,
    refugium,
    everyWeeks: cadence.everyWeeks,
  }
  return { ok: true as const, value, asked: volume.askedGallon }
}

const contentOf = (tank: TankRow) => ({
  'kind of tank': nameKey(tank.kindWords),
  volume: String(tank.volumeL),
  refugium: tank.refugium ? 'yes' : '',
  'weeks between visits': tank.everyWeeks === null ? '' : String(tank.everyWeeks),
  site: tank.siteKey,
})

export function planTanks(
  files: readonly ReadFile[],
  options: ImportOptions,
  existing: ExistingRecords,
  planned: { clients: readonly PlannedClient[]; sites: readonly PlannedSite[] },
  findings: Findings,
): { tanks: PlannedTank[]; questions: Question[]; here: ExistingRecords['tanks'] } {
  const siteOf = findSites(existing, planned.clients, planned.sites, findings)
  const candidates: Candidate<TankRow>[] = []
  let gallonsAsked = 0
  for (const file of files)
    for (const row of file.rows) {
      const read = readTank(row, file, options, siteOf)
      if (!read.ok) {
        findings.reject('tanks', row, read.reasons)
        findings.refusedNames.tanks.add(nameKey(row.get('name')))
        continue
      }
      if (read.asked) gallonsAsked++
      const { value } = read
      candidates.push({
        value,
        file: row.file,
        line: row.line,
        identity: value.key,
        content: contentOf(value),
        spelling: value.name,
      })
    }
  const settled = settleRepeats(candidates)
  for (const _ of settled.repeated) findings.repeat('tanks')
  for (const { candidate, kept, labels } of settled.contradicting)
    findings.reject('tanks', candidate, [
      `the tank “${candidate.value.name}” is also on line ${kept.line} with another ${labels.join(' and ')}`,
    ])
  const known = new Map(existing.tanks.map((tank) => [tank.key, tank]))
  const here: ExistingRecords['tanks'][number][] = []
  const tanks: PlannedTank[] = []
  for (const { value, file, line } of settled.kept) {
    const before = known.get(value.key)
    if (before) {
      findings.repeat('tanks')
      // It may have another name by now: the other files use this one.
      here.push({ ...before, name: value.name, clientKey: value.clientKey })
      continue
    }
    findings.add('tanks')
    tanks.push({ ...value, source: { file, line } })
    if (value.kind === null && value.kindWords !== '')
      findings.warn({ file, line }, `“${value.kindWords}” is not a kind of tank that is known; the words are kept`)
  }
  const questions: Question[] = []
  if (gallonsAsked > 0 && options.gallon === undefined)
    questions.push({
      about: 'gallon',
      file: null,
      text: `${gallonsAsked} volumes are in gallons. Which gallon: US (3.785 L) or imperial (4.546 L)?`,
      choices: ['us', 'imperial'],
      assumed: ASSUMED_GALLON,
    })
  return { tanks, questions, here }
}
