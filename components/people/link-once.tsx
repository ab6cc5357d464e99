'use client'

import { useState } from 'react'
import { Problem } from '@/components/paper'

/** A one-time link, shown this once: to select by hand, or to copy where the browser allows it. */
export function LinkOnce({ link, days }: { link: string; days: string }) {
  const [copied, setCopied] = useState(false)
  async function copy() {
    try {
      await navigator.clipboard.writeText(link)
      setCopied(true)
    } catch {
      setCopied(false)
    }
  }
  return (
    <div className="notice">
      <b>Send them this link yourself</b>
      <p>It is shown only now, works once and for {days}. Whoever has it can use it, so send it to this person only.</p>
      {opensOnlyHere(link) && (
        <Problem title={`This link opens on this computer only: it names ${new URL(link).hostname}.`}>
          Start Tankround under an address that their phone can reach, then make a new link. docs/install.md says how.
        </Problem>
      )}
      <p>
        <output>
          <code style={{ overflowWrap: 'anywhere' }}>{link}</code>
        </output>
      </p>
      <p>
        <button type="button" onClick={copy}>
          Copy the link
        </button>{' '}
        <span role="status">{copied ? 'Copied.' : ''}</span>
      </p>
    </div>
  )
}

/** Names that mean "this very computer" on every computer (RFC 6761, RFC 1122, RFC 4291). */
function opensOnlyHere(link: string): boolean {
  const { hostname } = new URL(link)
  return (
    hostname === 'localhost' || hostname.endsWith('.localhost') || hostname.startsWith('127.') || hostname === '[::1]'
  )
}
