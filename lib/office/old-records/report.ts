/** Collects what the dry run says: counts by kind, and every problem by line. */
import { byCodePoint } from './keys'
import type { ImportReport, Rejected, Warning } from './plan-types'
import { FILE_KINDS, type FileKind } from './schema'

type Place = { file: string; line: number }

export type Findings = {
  add: (kind: FileKind) => void
  repeat: (kind: FileKind) => void
  reject: (kind: FileKind, place: Place, reasons: readonly string[]) => void
  warn: (place: { file: string; line: number | null }, text: string) => void
  /** Names (see `nameKey`) of rejected clients and tanks, so that what hangs on them can say why it is missing. */
  refusedNames: { clients: Set<string>; tanks: Set<string> }
  finish: () => { report: ImportReport; warnings: Warning[] }
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)
const inOrder = (a: Place, b: Place) => byCodePoint(a.file, b.file) || a.line - b.line

/** Starts from rows that were rejected before their meaning was looked at. */
export function startFindings(early: Readonly<Record<FileKind, readonly Rejected[]>>): Findings {
  const blank = (kind: FileKind) => ({
    added: 0,
    repeated: 0,
    rejected: early[kind].map((each) => ({ ...each, reason: `${capital(each.reason)}.` })),
  })
  const report: ImportReport = {
    clients: blank('clients'),
    tanks: blank('tanks'),
    equipment: blank('equipment'),
    visits: blank('visits'),
  }
  const warnings: Warning[] = []
  return {
    add: (kind) => void report[kind].added++,
    repeat: (kind) => void report[kind].repeated++,
    reject: (kind, { file, line }, reasons) =>
      void report[kind].rejected.push({ file, line, reason: `${capital(reasons.join('; '))}.` }),
    warn: ({ file, line }, text) => void warnings.push({ file, line, text: `${capital(text)}.` }),
    refusedNames: { clients: new Set(), tanks: new Set() },
    finish: () => {
      for (const kind of FILE_KINDS) report[kind].rejected.sort(inOrder)
      warnings.sort(
        (a, b) => byCodePoint(a.file, b.file) || (a.line ?? 0) - (b.line ?? 0) || byCodePoint(a.text, b.text),
      )
      return { report, warnings }
    },
  }
}
