import type { ReactNode } from 'react'

export type LikelyItem = { id?: string; label: ReactNode /** 0 to 1 */; share: number; words?: string }

/** Shares as bars with their figure, most likely first as given; e.g. the causes that remain. */
export function LikelyBars({ items, label }: { items: readonly LikelyItem[]; label: string }) {
  return (
    <ul className="likely" aria-label={label}>
      {items.map((item, index) => (
        <li key={item.id ?? (typeof item.label === 'string' ? item.label : index)}>
          <span>{item.label}</span>
          <span className="likely-bar" aria-hidden="true">
            <span style={{ width: `${Math.min(100, Math.max(0, item.share * 100))}%` }} />
          </span>
          <span className="soft n">{item.words ?? `${Math.round(item.share * 100)}\u00a0%`}</span>
        </li>
      ))}
    </ul>
  )
}
