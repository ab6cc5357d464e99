'use client'

import { useState } from 'react'

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
