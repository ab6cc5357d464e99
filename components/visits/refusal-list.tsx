import { Problem } from '@/components/paper'
import type { VisitFormState } from '@/lib/office/visits/schema'

/** Why something was refused, read out at once; several reasons stand one below the other. */
export function RefusalList({ problem, reasons = [], closing = '' }: Omit<VisitFormState, 'messages'>) {
  if (problem === '') return null
  if (reasons.length === 0) return <Problem>{problem}</Problem>
  return (
    <Problem title={problem}>
      <ul>
        {reasons.map((reason) => (
          <li key={reason}>{reason}</li>
        ))}
      </ul>
      {closing !== '' && <p>{closing}</p>}
    </Problem>
  )
}
