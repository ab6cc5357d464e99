/** Ends the session on this device; a plain form, so that it works before scripts have come. */
export function SignOut({ action }: { action: () => Promise<void> }) {
  return (
    <form action={action}>
      <button type="submit">Sign out</button>
    </form>
  )
}
