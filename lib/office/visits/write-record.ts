import 'server-only'
import type { Pair } from './record'
import type { Section, VisitContext } from './visit-context'
import { writeCourse, writeNotes } from './write-course'
import { writeParts, writeReadings } from './write-figures'
import { writeFindings } from './write-findings'
import { writeWaterChanges } from './write-water-changes'
import { writeCases, writeRenewals } from './write-work'

/**
 * Brings the rows of a visit in line with its record. A row is only ever added: a new one where nothing was said before, a correction of the newest
 * where that says something else, one that takes back where nothing is said any more. What is in line is left alone, so that the same record
 * written again changes nothing. Returns the pairs whose lives change.
 */
export async function writeRecord(context: VisitContext, sections: readonly Section[]): Promise<Pair[]> {
  const touched: Pair[] = []
  for (const section of sections) touched.push(...(await WRITERS[section](context)))
  return touched
}

const WRITERS: Record<Section, (context: VisitContext) => Promise<Pair[]>> = {
  course: writeCourse,
  notes: writeNotes,
  cases: writeCases,
  water: writeWaterChanges,
  findings: writeFindings,
  renewals: writeRenewals,
  readings: writeReadings,
  parts: writeParts,
}
