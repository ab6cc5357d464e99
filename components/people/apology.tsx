'use client'

/** What a person sees when we failed: that it is our fault, what to do, and the number under which we find it in the log. */
export function Apology({ digest, retry }: { digest?: string | undefined; retry: () => void }) {
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
