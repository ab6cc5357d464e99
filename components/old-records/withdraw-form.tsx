import { Step } from '@/components/forms'
import type { FormAction } from '@/lib/office/frame/schema'

/** Takes an import back after a second yes; what stands in the way is listed. */
export function WithdrawForm({ action, batchId }: { action: FormAction; batchId: string }) {
  return (
    <Step
      name="import.withdraw"
      ask="Take it back"
      confirm="Yes, take it back"
      pendingWords="Taking it back …"
      action={action}
      hidden={{ batchId }}
    >
      <p>
        Everything it brought disappears from every list, sum and date: clients, tanks, devices and visits. The same
        files can be brought again.
      </p>
    </Step>
  )
}
