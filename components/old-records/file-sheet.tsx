import { SelectField } from '@/components/forms'
import { Problem, Sheet } from '@/components/paper'
import type { FieldChoices, FileSummary } from '@/lib/office/old-records/result'
import type { FileKind, ImportOptions, Mapping } from '@/lib/office/old-records/schema'
import { ColumnMatches } from './column-matches'
import {
  countWords,
  DATE_OPTIONS,
  DECIMAL_OPTIONS,
  DELIMITER_OPTIONS,
  encodingWords,
  KIND_OPTIONS,
  KIND_WORDS,
  settledWords,
} from './words'

export type FileOptions = NonNullable<ImportOptions['files']>[string]
export type FileMapping = Mapping[string]

type Props = {
  file: FileSummary
  fields: FieldChoices
  mapped: boolean
  onOptions: (options: FileOptions) => void
  onMapping: (mapping: FileMapping) => void
}

const hasDates: Readonly<Record<FileKind, boolean>> = { clients: false, tanks: false, equipment: true, visits: true }
const hasDecimals: Readonly<Record<FileKind, boolean>> = { clients: false, tanks: true, equipment: false, visits: true }

/** One file: what it was taken for and how it is read, each of it changeable, and its columns with the first rows below. */
export function FileSheet({ file, fields, mapped, onOptions, onMapping }: Props) {
  const { kind, dialect } = file
  if (dialect === null)
    return (
      <Sheet title={file.name} tone="call">
        <Problem title="This file cannot be read">{file.doubts.join(' ')}</Problem>
      </Sheet>
    )
  const words =
    kind === null
      ? 'It is not known what this file holds'
      : `${KIND_WORDS[kind]}, ${countWords(file.rows, 'row', 'rows')}`
  return (
    <Sheet title={file.name} tone={file.sure ? undefined : 'call'}>
      <p className="soft">
        {words}; {encodingWords(dialect.encoding)}.
      </p>
      {!file.sure && file.doubts.length > 0 && (
        <Problem title="Please match its columns">
          <ul>
            {file.doubts.map((doubt) => (
              <li key={doubt}>{doubt}</li>
            ))}
          </ul>
        </Problem>
      )}
      <div className="halves">
        <SelectField
          label="What it holds"
          options={KIND_OPTIONS}
          placeholder="Choose one"
          value={kind ?? ''}
          onChange={(event) => onMapping({ kind: event.target.value as FileKind, columns: {} })}
        />
        <SelectField
          label="Between the columns"
          options={DELIMITER_OPTIONS}
          value={dialect.delimiter}
          onChange={(event) => onOptions({ delimiter: event.target.value as NonNullable<FileOptions['delimiter']> })}
        />
        {kind !== null && hasDecimals[kind] && (
          <SelectField
            label="Before decimals"
            hint={settledWords(dialect.decimalMarkBy)}
            options={DECIMAL_OPTIONS}
            value={dialect.decimalMark}
            onChange={(event) =>
              onOptions({ decimalMark: event.target.value as NonNullable<FileOptions['decimalMark']> })
            }
          />
        )}
        {kind !== null && hasDates[kind] && (
          <SelectField
            label="Dates"
            hint={settledWords(dialect.dateOrderBy)}
            options={DATE_OPTIONS}
            value={dialect.dateOrder}
            onChange={(event) => onOptions({ dateOrder: event.target.value as NonNullable<FileOptions['dateOrder']> })}
          />
        )}
      </div>
      {kind !== null && (
        <ColumnMatches
          file={file}
          fields={fields[kind]}
          open={!file.sure}
          confirmable={!mapped && !file.sure}
          onMatch={(columns) => onMapping({ kind, columns })}
        />
      )}
    </Sheet>
  )
}
