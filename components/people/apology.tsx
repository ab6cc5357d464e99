'use client'

/** The mark of `TookTooLong` in the platform, which no screen may import. */
const TOOK_TOO_LONG = 'took-too-long'

/** What a person sees when we failed: that it is our fault, what to do, and the number under which we find it in the log. */
export function Apology({ digest, retry }: { digest?: string | undefined; retry: () => void }) {
  if (digest === TOOK_TOO_LONG)
    return (
      <main className="shell" id="main">
        <h1>This page took too long</h1>
        <p>It was stopped after some seconds, and nothing was changed. Try again in a minute, or ask for less.</p>
        <p>
          <button type="button" className="go" onClick={retry}>
            Try again
          </button>{' '}
          <a href="/">Back to the first page</a>
        </p>
      </main>
    )
  return (
    <main className="shell" id="main">
      <h1>Something went wrong here</h1>
      <p>
        This is our fault, not yours. What was saved before is still there; what you have just typed may not have been
        saved.
      </p>
      <p>
        <button type="button" className="go" onClick={retry}>
          Try again
        </button>{' '}
        <a href="/">Back to the first page</a>
      </p>
      {digest && (
        <p className="soft">
          If it happens again, tell whoever runs Tankround this number: <b>{digest}</b>
        </p>
      )}
    </main>
  )
}
