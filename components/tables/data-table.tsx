import type { ReactNode } from 'react'
import { PageLink } from '../shell/page-link'

export type Column<Row> = {
  key: string
  /** Short, in words; becomes the label of each value on a phone. */
  header: string
  cell: (row: Row) => ReactNode
  /** A figure: right-aligned, never broken. */
  numeric?: boolean
  /** Buttons: no label before them on a phone, and the head is for screen readers only. */
  bare?: boolean
  /** A CSS width for the wide view, e.g. "40%". */
  width?: string
  /** The sum or word at the foot of the column. */
  foot?: ReactNode
}

export type DataTableProps<Row> = {
  columns: readonly Column<Row>[]
  rows: readonly Row[]
  /** What this is a table of; read out, and shown unless `captionHidden`. */
  caption: string
  captionHidden?: boolean
  /** Shown instead where there are no rows. */
  empty?: ReactNode
  /** The page of a row; its first cell becomes the link. */
  rowHref?: (row: Row) => string | undefined
  /** Without it rows are told apart by their `id`, else by their position. */
  rowKey?: (row: Row) => string
  /** `call`: someone must act on this row; say so in a cell as well. */
  rowTone?: (row: Row) => 'call' | undefined
}

function isEmpty(content: ReactNode): boolean {
  return content === undefined || content === null || content === '' || content === false
}

function keyOf(row: unknown, index: number): string {
  const id = typeof row === 'object' && row !== null && 'id' in row ? row.id : undefined
  return typeof id === 'string' || typeof id === 'number' ? String(id) : String(index)
}

/** A table that is a table where it is wide and a list of small lists where it is not: by the room it has, not by the screen. */
export function DataTable<Row>(props: DataTableProps<Row>) {
  const { columns, rows, caption, captionHidden = false, empty, rowHref, rowKey, rowTone } = props
  if (rows.length === 0 && empty !== undefined) return <>{empty}</>
  const hasFoot = columns.some((column) => column.foot !== undefined)
  const numberClass = (column: Column<Row>) => (column.numeric ? 'n' : undefined)
  return (
    <div className="data-table">
      <table>
        <caption className={captionHidden ? 'visually-hidden' : undefined}>{caption}</caption>
        <thead>
          <tr>
            {columns.map((column) => (
              <th key={column.key} scope="col" className={numberClass(column)} style={{ width: column.width }}>
                {column.bare ? <span className="visually-hidden">{column.header}</span> : column.header}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row, rowIndex) => {
            const href = rowHref?.(row)
            return (
              <tr key={rowKey?.(row) ?? keyOf(row, rowIndex)} data-tone={rowTone?.(row)}>
                {columns.map((column, index) => {
                  const content = column.cell(row)
                  return (
                    <td
                      key={column.key}
                      className={numberClass(column)}
                      data-label={column.header}
                      data-bare={column.bare || undefined}
                      data-empty={isEmpty(content) || undefined}
                    >
                      {index === 0 && href !== undefined ? (
                        <PageLink className="row-link" href={href}>
                          {content}
                        </PageLink>
                      ) : (
                        wrap(content)
                      )}
                    </td>
                  )
                })}
              </tr>
            )
          })}
        </tbody>
        {hasFoot && (
          <tfoot>
            <tr>
              {columns.map((column) => (
                <td
                  key={column.key}
                  className={numberClass(column)}
                  data-label={column.header}
                  data-empty={isEmpty(column.foot) || undefined}
                >
                  {wrap(column.foot)}
                </td>
              ))}
            </tr>
          </tfoot>
        )}
      </table>
    </div>
  )
}

/** One element around whatever a cell holds: on a phone a cell is a grid of label and value, and loose text nodes would fall apart in it. */
function wrap(content: ReactNode): ReactNode {
  return isEmpty(content) ? null : <span className="cell">{content}</span>
}
