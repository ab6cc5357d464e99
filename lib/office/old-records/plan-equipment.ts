/** Devices, from the rows of an equipment file. Pure. */

import { plainWords } from '../frame/plain-words'
import { equipmentClassOf } from './class-words'
import { parseDate } from './dates'
import { equipmentKey, nameKey, tidy } from './keys'
import type { findTanks } from './known-places'
import type { ExistingRecords, PlannedEquipment } from './plan-types'
import type { ReadFile, Row } from './read-files'
import type { Findings } from './report'
import { type Candidate, settleRepeats } from './settle-repeats'

export type EquipmentRow = Omit<PlannedEquipment, 'source'>

/** "heater 2" is a heater whose label is "heater 2"; a label column goes first. */
export function deviceOf(
  tankKey: string,
  words: string,
  label: string,
): Pick<EquipmentRow, 'key' | 'tankKey' | 'classSlug' | 'classWords' | 'label'> {
  const named = equipmentClassOf(words)
  const ownLabel = label !== '' ? label : named.ordered ? named.words : null
  return {
    key: equipmentKey(tankKey, named.slug, ownLabel),
    tankKey,
    classSlug: named.slug,
    classWords: named.words,
    label: ownLabel,
  }
}

function readEquipment(row: Row, file: ReadFile, tankOf: ReturnType<typeof findTanks>) {
  const reasons: string[] = []
  const tank = tankOf(row.get('tank'), row.get('client'))
  if (!tank.ok) reasons.push(tank.reason)
  const words = tidy(row.get('equipment'))
  if (plainWords(words) === '') reasons.push('no equipment is named')
  const written = tidy(row.get('installed'))
  const installed = written === '' ? null : parseDate(written, file.dialect.dateOrder)
  if (installed && !installed.ok) reasons.push(installed.reason)
  if (reasons.length > 0 || !tank.ok || installed?.ok === false) return { ok: false as const, reasons }
  const device = deviceOf(tank.value.key, words, tidy(row.get('label')))
  const value: EquipmentRow = { ...device, installed: installed === null ? null : installed.date, implied: false }
  return { ok: true as const, value, tankName: tank.value.name }
}

/** Two lines for one kind of device in one tank are a repeat when they agree, and need labels when they do not. */
export function planEquipment(
  files: readonly ReadFile[],
  existing: ExistingRecords,
  tankOf: ReturnType<typeof findTanks>,
  findings: Findings,
): PlannedEquipment[] {
  const candidates: Candidate<EquipmentRow & { tankName: string }>[] = []
  for (const file of files)
    for (const row of file.rows) {
      const read = readEquipment(row, file, tankOf)
      if (!read.ok) {
        findings.reject('equipment', row, read.reasons)
        continue
      }
      const { value, tankName } = read
      const content = { 'day of installation': value.installed ?? '' }
      const spelling = `${value.classWords}\n${nameKey(value.label ?? '')}`
      candidates.push({
        value: { ...value, tankName },
        file: row.file,
        line: row.line,
        identity: value.key,
        content,
        spelling,
      })
    }
  const settled = settleRepeats(candidates)
  for (const _ of settled.repeated) findings.repeat('equipment')
  for (const { candidate, kept } of settled.contradicting)
    findings.reject('equipment', candidate, [
      `“${candidate.value.tankName}” has a ${candidate.value.classWords} on line ${kept.line} too, installed on another day; if there are two, a label column must tell them apart`,
    ])
  const known = new Set(existing.equipment.map((device) => device.key))
  const equipment: PlannedEquipment[] = []
  for (const { value, file, line } of settled.kept) {
    if (known.has(value.key)) {
      findings.repeat('equipment')
      continue
    }
    findings.add('equipment')
    const { tankName: _, ...device } = value
    equipment.push({ ...device, source: { file, line } })
  }
  return equipment
}
