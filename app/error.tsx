'use client'

import { Apology } from '@/components/people/apology'

export default function ErrorPage({ error, reset }: { error: Error & { digest?: string }; reset: () => void }) {
  return <Apology digest={error.digest} retry={reset} />
}
