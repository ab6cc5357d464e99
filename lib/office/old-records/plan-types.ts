/** What an import would do: plain data, shown in the dry run and written by the command. */
import type { TankKind } from '@/lib/trade/catalogue/types'
import type { AsFound } from '@/lib/trade/lives/types'
import type { DecimalMark } from '../frame/numbers'
import type { ColumnMatch } from './columns'
import type { DateOrder } from './dates'
import type { Encoding } from './decode'
import type { Done } from './done-words'
import type { VisitKind } from './kind-words'
import type { ParsedReading } from './readings'
import type { Delimiter, FileKind } from './schema'

export type ImportFile = { name: string; bytes: Uint8Array }

/** Where a row came from: `line` is the physical line on which its record starts. */
export type Source = { file: string; line: number }

/** How a value was settled: by the person, by what the file shows, by the other files, or assumed. */
export type SettledBy = 'chosen' | 'file' | 'import' | 'assumed'
export type Dialect = {
  encoding: Encoding
  delimiter: Delimiter
  decimalMark: DecimalMark
  decimalMarkBy: SettledBy
  dateOrder: DateOrder
  dateOrderBy: SettledBy
}

export type FileSummary = {
  name: string
  /** Null where the file is not known; nothing of it is planned. */
  kind: FileKind | null
  dialect: Dialect | null
  columns: ColumnMatch[]
  sure: boolean
  doubts: string[]
  /** Records below the header. */
  rows: number
  /** The first few of them, for the live preview. */
  preview: string[][]
}

export type Question = {
  about: 'gallon' | 'date-order' | 'decimal-mark'
  /** Null where the answer holds for the whole import. */
  file: string | null
  text: string
  choices: readonly string[]
  /** What the plan below assumes until a person answers. */
  assumed: string
}

export type Rejected = { file: string; line: number; reason: string }
export type KindReport = { added: number; repeated: number; rejected: Rejected[] }
export type ImportReport = Record<FileKind, KindReport>
export type Warning = { file: string; line: number | null; text: string }

export type PlannedClient = {
  key: string
  name: string
  email: string | null
  phone: string | null
  paymentDays: number | null
  source: Source
}
/** A client's address, or its one nameless place. */
export type PlannedSite = {
  key: string
  clientKey: string
  address: string | null
  latitude: number | null
  longitude: number | null
  source: Source
}
export type PlannedTank = {
  key: string
  clientKey: string
  /** A key among the planned sites or the sites already here. */
  siteKey: string
  name: string
  kind: TankKind | null
  kindWords: string
  volumeL: number
  /** The unit it was written in, in plain letters (`gal`, `m3`); '' where none was. */
  volumeUnit: string
  refugium: boolean
  everyWeeks: number | null
  source: Source
}
export type PlannedEquipment = {
  key: string
  tankKey: string
  /** A catalogue slug, or `own:<words>`. */
  classSlug: string
  classWords: string
  label: string | null
  /** As written by the old records; it never starts a life (a person has to confirm that the device was new to us). */
  installed: string | null
  /** True where only visits name the device. */
  implied: boolean
  source: Source
}
export type PlannedPerson = { key: string; name: string }
export type PlannedRow = {
  /** Recognises the row when it comes again. */
  rowKey: string
  equipmentKey: string | null
  /** `class/mode` or `own:<words>`; null where the row looks at nothing. */
  modeSlug: string | null
  modeWords: string
  asFound: AsFound
  asFoundWords: string
  done: Done
  doneWords: string
  part: string | null
  readings: ParsedReading[]
  comment: string | null
  source: Source
}
/** One visit: a day, a tank, a technician, a kind. `rows` may add to a visit that is already here (same `key`). */
export type PlannedVisit = {
  key: string
  date: string
  tankKey: string
  personKey: string | null
  kind: VisitKind
  minutes: number | null
  /** All different comments and readings of its rows. */
  comments: string[]
  readings: ParsedReading[]
  rows: PlannedRow[]
}

export type ImportPlan = {
  files: FileSummary[]
  clients: PlannedClient[]
  sites: PlannedSite[]
  tanks: PlannedTank[]
  equipment: PlannedEquipment[]
  people: PlannedPerson[]
  visits: PlannedVisit[]
  report: ImportReport
  warnings: Warning[]
  questions: Question[]
  /** Reasons why nothing can be written yet: files that could not be read or are not sure. */
  refusals: { file: string; reason: string }[]
  /** True where there are no refusals and no open questions. */
  ready: boolean
}

/**
 * What is in the business's records already (imports that were taken back do not count). Keys are those of `keys.ts`. One thing
 * may be known by several keys (renamed, merged, handed over): entries of one `id` are one thing, and the first counts.
 */
export type ExistingRecords = {
  clients: readonly { key: string; name: string }[]
  sites: readonly { key: string; clientKey: string; id?: string }[]
  tanks: readonly { key: string; name: string; clientKey: string; id?: string }[]
  equipment: readonly {
    key: string
    tankKey: string
    classSlug: string
    classWords: string
    label: string | null
    id?: string
  }[]
  visitRows: ReadonlySet<string>
}

export const NOTHING_YET: ExistingRecords = { clients: [], sites: [], tanks: [], equipment: [], visitRows: new Set() }
