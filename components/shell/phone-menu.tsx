'use client'

import { usePathname } from 'next/navigation'
import type { ReactNode } from 'react'

/** The menu on narrow screens: a plain `<details>`, so it opens without scripts; a new page closes it, being a new element. */
export function PhoneMenu({ children }: { children: ReactNode }) {
  const path = usePathname()
  return (
    <details className="bar-menu" key={path}>
      <summary>Menu</summary>
      <div className="bar-menu-panel">{children}</div>
    </details>
  )
}
