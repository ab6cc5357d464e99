import type { Metadata } from 'next'
import { PageLink } from '@/components/shell'

export const metadata: Metadata = { title: 'Not found' }

export default function NotFoundPage() {
  return (
    <main className="shell" id="main">
      <h1>There is no such page for you</h1>
      <p>
        The address may be mistyped, what was here may have been put away, or it belongs to somebody else. It may also
        help to sign in again.
      </p>
      <p>
        <PageLink href="/">To my first page</PageLink>
      </p>
    </main>
  )
}
