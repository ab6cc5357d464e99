/** Which of the four kinds a file is, and which of its columns is what: from its header, or from what a person matched. Pure. */

import { plainWords } from '../frame/plain-words'
import { type ColumnMatch, FIELDS, fieldOfHeading } from './columns'
import { FILE_KINDS, type FileKind, type Mapping } from './schema'

export type Recognised = {
  kind: FileKind | null
  columns: ColumnMatch[]
  /** False where a person has to match the columns first; `doubts` says why. */
  sure: boolean
  doubts: string[]
}

type Attempt = {
  kind: FileKind
  columns: ColumnMatch[]
  matched: number
  missing: string[]
  twice: string[]
  unknown: string[]
}

const quoted = (words: readonly string[]) => words.map((word) => `“${word}”`).join(', ')
const isBlank = (column: ColumnMatch) => column.header.trim() === ''

function weigh(kind: FileKind, columns: ColumnMatch[]): Attempt {
  const fields = columns.flatMap((column) => (column.field === null ? [] : [column.field]))
  const distinct = new Set(fields)
  return {
    kind,
    columns,
    matched: distinct.size,
    missing: Object.entries(FIELDS[kind]).flatMap(([name, { required, label }]) =>
      required && !distinct.has(name) ? [label] : [],
    ),
    twice: [...distinct].filter((name) => fields.indexOf(name) !== fields.lastIndexOf(name)),
    unknown: columns
      .filter((column) => column.field === null && !isBlank(column))
      .map((column) => column.header.trim()),
  }
}

const attempt = (kind: FileKind, header: readonly string[]) =>
  weigh(
    kind,
    header.map((text) => ({ header: text, ...fieldOfHeading(kind, text) })),
  )

/** How many columns of this header the best-fitting kind knows; used to find the delimiter. */
export function headingsKnown(header: readonly string[]): number {
  return Math.max(...FILE_KINDS.map((kind) => attempt(kind, header).matched))
}

function doubtsOf({ missing, twice, unknown, kind, matched }: Attempt): string[] {
  const doubts: string[] = []
  if (missing.length > 0) doubts.push(`no column for ${quoted(missing)} was found`)
  if (twice.length > 0)
    doubts.push(`more than one column could be ${quoted(twice.map((name) => FIELDS[kind][name]?.label ?? name))}`)
  if (unknown.length > 0) doubts.push(`it is not known what ${quoted(unknown)} holds`)
  if (matched < 2) doubts.push('one known column is too little to tell what the file is')
  return doubts
}

/** By header alone: the kind that has all it needs and knows the most columns, if it is ahead of the others. */
function fromHeader(header: readonly string[]): Recognised {
  const attempts = FILE_KINDS.map((kind) => attempt(kind, header)).sort(
    (a, b) => a.missing.length - b.missing.length || b.matched - a.matched || a.twice.length - b.twice.length,
  )
  const [best, next] = attempts
  if (best === undefined || best.matched === 0)
    return {
      kind: null,
      columns: header.map((text) => ({ header: text, field: null, headerUnit: '' })),
      sure: false,
      doubts: ['the first line names no column that is known: is it a header?'],
    }
  const doubts = doubtsOf(best)
  if (next && next.missing.length === 0 && next.matched === best.matched && next.twice.length === best.twice.length)
    doubts.push(`it could be ${best.kind} or ${next.kind}`)
  return {
    kind: best.missing.length === 0 ? best.kind : null,
    columns: best.columns,
    sure: doubts.length === 0,
    doubts,
  }
}

function matchByPerson(
  kind: FileKind,
  header: readonly string[],
  chosen: Readonly<Record<string, string>>,
): Recognised {
  const doubts: string[] = []
  const fieldAt = new Map<number, string>()
  const leftOut = new Set<string>()
  for (const [name, heading] of Object.entries(chosen)) {
    if (!Object.hasOwn(FIELDS[kind], name)) {
      doubts.push(`${kind} have no field called “${name}”; they have ${Object.keys(FIELDS[kind]).join(', ')}`)
      continue
    }
    if (heading.trim() === '') {
      leftOut.add(name)
      continue
    }
    const exact = header.flatMap((text, index) => (text.trim() === heading.trim() ? [index] : []))
    const found =
      exact.length > 0
        ? exact
        : header.flatMap((text, index) => (plainWords(text) === plainWords(heading) ? [index] : []))
    const [index] = found
    if (index === undefined) doubts.push(`the file has no column called “${heading}”`)
    else if (found.length > 1) doubts.push(`the file has more than one column called “${heading}”`)
    else if (fieldAt.has(index)) doubts.push(`the column “${heading}” is matched twice`)
    else fieldAt.set(index, name)
  }
  const chosenFields = new Set([...fieldAt.values(), ...leftOut])
  const columns = header.map((text, index): ColumnMatch => {
    const own = fieldAt.get(index)
    const guess = fieldOfHeading(kind, text)
    if (own !== undefined) return { header: text, field: own, headerUnit: guess.headerUnit }
    // A heading that we know still counts, unless the person gave its field to another column or to none.
    const free = guess.field !== null && !chosenFields.has(guess.field)
    return { header: text, field: free ? guess.field : null, headerUnit: free ? guess.headerUnit : '' }
  })
  const result = weigh(kind, columns)
  const all = [...doubts, ...doubtsOf({ ...result, unknown: [], matched: Number.POSITIVE_INFINITY })]
  return { kind, columns, sure: all.length === 0, doubts: all }
}

/** What a person said about this file: by its name, else by the kind its header shows. */
function mappingFor(mapping: Mapping, fileName: string, kind: FileKind | null): Mapping[string] | undefined {
  if (Object.hasOwn(mapping, fileName)) return mapping[fileName]
  return kind !== null && Object.hasOwn(mapping, kind) ? mapping[kind] : undefined
}

/**
 * Recognises a file by its header. A header with an unknown, doubled or missing column is not sure: the person matches it,
 * and what the person matched stands (`mapping`).
 */
export function recogniseFile(fileName: string, header: readonly string[], mapping: Mapping): Recognised {
  const guess = fromHeader(header)
  const stem = FILE_KINDS.find((kind) => fileName.toLowerCase() === `${kind}.csv`) ?? null
  const own = mappingFor(mapping, fileName, guess.kind ?? stem)
  if (own === undefined) return guess
  const kind = own.kind ?? guess.kind ?? stem
  if (kind === null) return { ...guess, doubts: ['the mapping does not say what kind of file this is'] }
  return matchByPerson(kind, header, own.columns)
}
