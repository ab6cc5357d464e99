/** What a plan turns into once it is written, and small files made of text. */
import type { ExistingRecords, ImportFile, ImportPlan } from '@/lib/office/old-records/plan-types'

export function asExisting(plan: ImportPlan): ExistingRecords {
  return { ...plan, visitRows: new Set(plan.visits.flatMap((visit) => visit.rows.map((row) => row.rowKey))) }
}

export const textFile = (name: string, text: string): ImportFile => ({ name, bytes: new TextEncoder().encode(text) })
