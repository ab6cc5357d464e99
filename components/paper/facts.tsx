import type { ReactNode } from 'react'

export type Fact = { term: ReactNode; value: ReactNode; key?: string }

/** A list of terms and what they are. `numbers`: the values are figures and stand right-aligned. */
export function Facts({ items, numbers = false }: { items: readonly Fact[]; numbers?: boolean }) {
  return (
    <dl className="facts" data-numbers={numbers || undefined}>
      {items.map((item, index) => (
        <div key={item.key ?? (typeof item.term === 'string' ? item.term : index)}>
          <dt>{item.term}</dt>
          <dd>{item.value}</dd>
        </div>
      ))}
    </dl>
  )
}
