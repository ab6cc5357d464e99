import type { ReactNode } from 'react'
import { PageHead } from '@/components/shell'
import { UnsentGuard } from './unsent-guard'

const STEPS = [
  ['', 'Arrive'],
  ['/look', 'Look'],
  ['/test', 'Test'],
  ['/work', 'Work'],
  ['/leave', 'Leave'],
] as const
export type VisitStepPath = (typeof STEPS)[number][0]

export type VisitFrameProps = {
  visitId: string
  step: VisitStepPath
  clientName: string
  siteName: string
  tank: { name: string; words: string }
  state: string
  children: ReactNode
}

/** Where one is: whose tank, and which of the five steps. Plain links: each step is a page of its own. */
export function VisitFrame({ visitId, step, clientName, siteName, tank, state, children }: VisitFrameProps) {
  const place = clientName === siteName ? clientName : `${clientName}, ${siteName}`
  const next = STEPS[STEPS.findIndex(([path]) => path === step) + 1]
  return (
    <>
      <PageHead over={place} title={tank.name} sub={tank.words} />
      <nav className="visit-steps" aria-label="Steps of the visit">
        {STEPS.map(([path, word]) => (
          <a key={path} href={`/visits/${visitId}${path}`} aria-current={path === step ? 'step' : undefined}>
            {word}
          </a>
        ))}
      </nav>
      <UnsentGuard />
      {children}
      {next && state !== 'done' && (
        <p className="visit-next">
          <a className="button big" href={`/visits/${visitId}${next[0]}`}>
            Next: {next[1]}
          </a>
        </p>
      )}
    </>
  )
}
