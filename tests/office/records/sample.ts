/** The old records that lie beside the project, and what a plan turns into once it is written. */
import { existsSync, readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'
import type { ExistingRecords, ImportFile, ImportPlan } from '@/lib/office/records/plan-types'

export const sampleFolder = path.resolve(import.meta.dirname, '../../../../shared/samples/old-records')

export const sampleIsHere = existsSync(path.join(sampleFolder, 'visits.csv'))

export function sampleFiles(): ImportFile[] {
  const names = readdirSync(sampleFolder).filter((name) => name.endsWith('.csv'))
  return names.map((name) => ({ name, bytes: readFileSync(path.join(sampleFolder, name)) }))
}

export function sampleTruth(): { rows: Record<string, number>; looks: Record<string, number> } {
  return JSON.parse(readFileSync(path.join(sampleFolder, 'truth.json'), 'utf8'))
}

export function asExisting(plan: ImportPlan): ExistingRecords {
  return { ...plan, visitRows: new Set(plan.visits.flatMap((visit) => visit.rows.map((row) => row.rowKey))) }
}

export const textFile = (name: string, text: string): ImportFile => ({ name, bytes: new TextEncoder().encode(text) })
