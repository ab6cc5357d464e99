import type { FormAction } from '@/lib/office/frame/schema'
import { Form } from '../forms'

/** One press says that a promise is kept. */
export function KeepForm({ action, followUpId }: { action: FormAction; followUpId: string }) {
  return <Form name="promise.keep" action={action} hidden={{ followUpId }} submit="Done" plain />
}
