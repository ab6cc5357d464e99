import type { ReactNode } from 'react'

/** The figures behind a chart, folded away. First column names the row. */
export function ChartTable(props: {
  caption: string
  heads: readonly string[]
  rows: readonly (readonly ReactNode[])[]
}) {
  const { caption, heads, rows } = props
  return (
    <details className="behind">
      <summary>Show as a table</summary>
      <table>
        <caption>{caption}</caption>
        <thead>
          <tr>
            {heads.map((head, column) => (
              <th key={head} scope="col" className={column > 0 ? 'n' : undefined}>
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((cells, row) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: rows are figures in a fixed order
            <tr key={row}>
              {cells.map((cell, column) =>
                column === 0 ? (
                  <th key={heads[column]} scope="row">
                    {cell}
                  </th>
                ) : (
                  <td key={heads[column]} className="n">
                    {cell}
                  </td>
                ),
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </details>
  )
}
