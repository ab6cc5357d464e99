import { useId, useState } from 'react'
import type { FieldChoice, FileSummary } from '@/lib/office/old-records/result'

type Columns = Record<string, string>
type Props = {
  file: FileSummary
  fields: readonly FieldChoice[]
  open: boolean
  /** Offer to accept the match as it stands. */
  confirmable: boolean
  onMatch: (columns: Columns) => void
}

/** Our field → the heading as written, '' for a field that no column has: the whole match is said, so that nothing is guessed again. */
function columnsWith(
  file: FileSummary,
  fields: readonly FieldChoice[],
  change?: { index: number; field: string },
): Columns {
  const columns: Columns = Object.fromEntries(fields.map(({ field }) => [field, '']))
  for (const [index, { header, field }] of file.columns.entries()) {
    const now = change?.index === index ? change.field : field
    if (now && (change === undefined || change.index === index || now !== change.field)) columns[now] = header
  }
  return columns
}

/** The columns of a file: what each is taken for, and the first five rows. It scrolls sideways by itself. */
export function ColumnMatches({ file, fields, open, confirmable, onMatch }: Props) {
  const id = useId()
  // Once open it stays so: it must not close under the hand that matches the last column.
  const [startsOpen] = useState(open)
  const columns = file.columns.map((column, index) => ({ ...column, index, key: `${index} ${column.header}` }))
  const rows = file.preview.map((cells, index) => ({ cells, key: String(index) }))
  return (
    <details open={startsOpen}>
      <summary>Its columns and first rows</summary>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reachable by keyboard */}
      <section className="records-preview" tabIndex={0} aria-label={`Columns of ${file.name}`}>
        <table>
          <thead>
            <tr>
              {columns.map((column) => (
                <th key={column.key} scope="col">
                  <label className="records-heading" htmlFor={`${id}-${column.index}`}>
                    {column.header.trim() || `Column ${column.index + 1}`}
                  </label>
                  <select
                    id={`${id}-${column.index}`}
                    value={column.field ?? ''}
                    onChange={(event) =>
                      onMatch(columnsWith(file, fields, { index: column.index, field: event.target.value }))
                    }
                  >
                    <option value="">Left out</option>
                    {fields.map(({ field, label, required }) => (
                      <option key={field} value={field}>
                        {required ? `${label} (needed)` : label}
                      </option>
                    ))}
                  </select>
                  {column.headerUnit !== '' && <span className="soft">in {column.headerUnit}</span>}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {rows.map(({ cells, key }) => (
              <tr key={key}>
                {columns.map((column) => (
                  <td key={column.key}>{cells[column.index] ?? ''}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      {confirmable && (
        <div className="form-actions">
          <button type="button" onClick={() => onMatch(columnsWith(file, fields))}>
            The columns are right as they stand
          </button>
        </div>
      )}
    </details>
  )
}
