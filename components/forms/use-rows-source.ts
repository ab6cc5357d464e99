'use client'

import { useEffect, useRef } from 'react'
import type { FieldValues, UseFormReturn } from 'react-hook-form'
import type { Source } from './use-sending'

type Options = {
  hidden: Readonly<Record<string, string>>
  unkept: readonly string[] | undefined
  changed: () => void
}

/** The words of a form with rows of fields, which react-hook-form holds; null for a form without. */
export function useRowsSource<Row extends FieldValues>(
  rows: UseFormReturn<Row> | undefined,
  { hidden, unkept = [], changed }: Options,
): Source | null {
  const standing = useRef<Record<string, string> | null>(null)
  const tell = useRef(changed)
  tell.current = changed
  useEffect(() => {
    if (!rows) return
    standing.current = fieldsOf(rows.getValues())
    return rows.subscribe({ formState: { values: true }, callback: () => tell.current() })
  }, [rows])
  if (!rows) return null
  const stand = (values: Row | undefined) => {
    // Before the rows tell of it: what was just saved is nothing unsent.
    if (values !== undefined) standing.current = fieldsOf(values)
    rows.reset(values)
    standing.current = fieldsOf(rows.getValues())
  }
  return {
    // A row just added or taken off is not noted yet when the page is drawn again: what was noted before must not replace it.
    keepsItsWords: true,
    read: () => ({ ...rows.getValues(), ...hidden }),
    typed: () => {
      const before = standing.current
      if (before === null) return null
      // Only what was changed: what somebody else has put right meanwhile must not come back with an old draft.
      const changed = Object.entries(rows.getValues()).filter(
        ([name, value]) => sameAs(value) !== (before[name] ?? BLANK),
      )
      if (changed.length === 0) return null
      return Object.fromEntries(changed.filter(([name]) => !unkept.includes(name)))
    },
    fill: (typed) => {
      const values = { ...rows.getValues(), ...(typed as Partial<Row>) } // what `typed` gave
      if (sameAs(values) !== sameAs(rows.getValues())) rows.reset(values, { keepDefaultValues: true })
    },
    clear: () => stand(undefined),
    settle: () => stand(rows.getValues()),
  }
}

const fieldsOf = (values: FieldValues) =>
  Object.fromEntries(Object.entries(values).map(([name, value]) => [name, sameAs(value)]))

/** Equal for values that a person sees as the same: a field that is not there yet is a blank one, a box one without a tick; the order does not count. */
function sameAs(values: unknown): string {
  return JSON.stringify([values], (_name, value: unknown) => {
    if (value === '' || value === null || value === false) return undefined
    if (typeof value !== 'object' || Array.isArray(value)) return value
    return Object.fromEntries(Object.entries(value ?? {}).sort(([a], [b]) => (a < b ? -1 : 1)))
  })
}

const BLANK = sameAs(undefined)
