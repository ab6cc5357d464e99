import type { ReactNode } from 'react'
import { SkipLink } from '@/components/shell'

/** The frame of the pages before one is signed in: a name and a sheet of paper. */
export function EntryFrame({ children }: { children: ReactNode }) {
  return (
    <>
      <SkipLink />
      <div className="shell shell-entry">
        <header className="bar">
          <span className="bar-brand">Tankround</span>
        </header>
        <main id="main" tabIndex={-1}>
          {children}
        </main>
      </div>
    </>
  )
}
