'use client'

import type { ReactNode } from 'react'
import { NumberField } from '@/components/forms'
import { FIGURE_PREFIX } from '@/lib/office/parts/schema'
import type { FormState } from '@/lib/office/people/schema'

export type FigureRow = { partId: string; name: string; unit: string; suggested: string; about: ReactNode }

type Props = { rows: readonly FigureRow[]; label: string; state: FormState; id: (name: string) => string }

/** One figure for each part; what was typed stays when something is refused. */
export function FigureRows({ rows, label, state, id }: Props) {
  return (
    <ul className="figure-rows">
      {rows.map(({ partId, name, unit, suggested, about }) => {
        const field = `${FIGURE_PREFIX}${partId}`
        return (
          <li key={partId}>
            <div>
              <b>{name}</b>
              <div className="soft small">{about}</div>
            </div>
            <NumberField
              id={id(field)}
              name={field}
              label={
                <>
                  {label}
                  <span className="visually-hidden"> {name}</span>
                </>
              }
              unit={unit === 'piece' ? undefined : unit}
              defaultValue={state.typed[field] ?? suggested}
              error={state.fields[field]?.[0]}
            />
          </li>
        )
      })}
    </ul>
  )
}
