'use client'

import './globals.css'
import { Apology } from '@/components/people/apology'

export default function GlobalErrorPage({ error, reset }: { error: Error & { digest?: string }; reset: () => void }) {
  return (
    <html lang="en">
      <body>
        <Apology digest={error.digest} retry={reset} />
      </body>
    </html>
  )
}
