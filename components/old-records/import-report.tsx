import { Notice, Sheet } from '@/components/paper'
import { type Column, DataTable } from '@/components/tables'
import type { ImportReport, Warning } from '@/lib/office/old-records/result'
import { FILE_KINDS, type FileKind } from '@/lib/office/old-records/schema'
import { countWords, KIND_WORDS } from './words'

/** A page of a thousand wrong lines helps nobody: the file itself is then wrong in one way, and the first lines show it. */
const LINES_SHOWN = 200

type Counted = { id: FileKind; added: number; repeated: number; rejected: number }
type Line = { id: string; file: string; line: number | null; words: string }

const lineColumns: readonly Column<Line>[] = [
  { key: 'line', header: 'Line', cell: (row) => row.line ?? 'whole file', width: '7rem' },
  { key: 'words', header: 'What is wrong', cell: (row) => row.words },
]

function countColumns(done: boolean): readonly Column<Counted>[] {
  return [
    { key: 'kind', header: 'Rows of', cell: (row) => KIND_WORDS[row.id] },
    { key: 'added', header: done ? 'Brought' : 'New', cell: (row) => row.added.toLocaleString('en-GB'), numeric: true },
    { key: 'repeated', header: 'Here already', cell: (row) => row.repeated.toLocaleString('en-GB'), numeric: true },
    { key: 'rejected', header: 'Wrong', cell: (row) => row.rejected.toLocaleString('en-GB'), numeric: true },
  ]
}

type Props = { report: ImportReport; warnings: readonly Warning[]; done?: boolean }

/** What comes in, what is here already, and every wrong line in plain words. */
export function ImportReportSheets({ report, warnings, done = false }: Props) {
  const counted = FILE_KINDS.map((id) => ({ ...report[id], id, rejected: report[id].rejected.length }))
  const rejected = FILE_KINDS.flatMap((kind) => report[kind].rejected.map((row) => ({ ...row, words: row.reason })))
  const anyRead = counted.some(({ added, repeated }) => added + repeated > 0)
  return (
    <>
      <Sheet title={done ? 'What came in' : 'What would come in'}>
        <DataTable
          caption="Rows of the files by kind"
          captionHidden
          columns={countColumns(done)}
          rows={counted}
          rowTone={(row) => (row.rejected > 0 ? 'call' : undefined)}
        />
      </Sheet>
      {rejected.length > 0 && (
        <LineSheet
          title={`${countWords(rejected.length, 'line is', 'lines are')} left out`}
          sub="Put them right in the file and bring it again: only what is new comes in."
          lines={rejected}
        />
      )}
      {warnings.length > 0 && (
        <LineSheet
          title={`${countWords(warnings.length, 'line', 'lines')} to look at`}
          sub="These come in; this is how they were understood."
          lines={warnings.map((warning) => ({ ...warning, words: warning.text }))}
        />
      )}
      {anyRead && rejected.length === 0 && warnings.length === 0 && <Notice>Every line was understood.</Notice>}
    </>
  )
}

function LineSheet(props: { title: string; sub: string; lines: readonly Omit<Line, 'id'>[] }) {
  const files = [...new Set(props.lines.map((line) => line.file))]
  return (
    <Sheet title={props.title}>
      <p className="soft">{props.sub}</p>
      {files.map((file) => {
        const lines = props.lines.filter((line) => line.file === file)
        const rows = lines.slice(0, LINES_SHOWN).map((line, index) => ({ ...line, id: String(index) }))
        const more = lines.length - rows.length
        return (
          <div key={file}>
            <DataTable caption={file} columns={lineColumns} rows={rows} />
            {more > 0 && <p className="soft">and {more.toLocaleString('en-GB')} more in this file</p>}
          </div>
        )
      })}
    </Sheet>
  )
}
