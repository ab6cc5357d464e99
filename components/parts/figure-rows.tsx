'use client'

import type { ReactNode } from 'react'
import { type FieldOf, NumberField } from '@/components/forms'
import { FIGURE_PREFIX } from '@/lib/office/parts/schema'

export type FigureRow = { partId: string; name: string; unit: string; suggested: string; about: ReactNode }

type Props = { rows: readonly FigureRow[]; label: string; field: FieldOf<string> }

const nameOf = ({ partId }: FigureRow) => `${FIGURE_PREFIX}${partId}`

/** What stands in the fields of these rows at first. */
export function figureValues(rows: readonly FigureRow[]): Record<string, string> {
  return Object.fromEntries(rows.map((row) => [nameOf(row), row.suggested]))
}

/** One figure for each part. */
export function FigureRows({ rows, label, field }: Props) {
  return (
    <ul className="figure-rows">
      {rows.map((row) => (
        <li key={row.partId}>
          <div>
            <b>{row.name}</b>
            <div className="soft small">{row.about}</div>
          </div>
          <NumberField
            {...field(nameOf(row))}
            label={
              <>
                {label}
                <span className="visually-hidden"> {row.name}</span>
              </>
            }
            unit={row.unit === 'piece' ? undefined : row.unit}
          />
        </li>
      ))}
    </ul>
  )
}
