import type { ReactNode } from 'react'
import { EntryFrame } from '@/components/people'

export default function EntryLayout({ children }: { children: ReactNode }) {
  return <EntryFrame>{children}</EntryFrame>
}
