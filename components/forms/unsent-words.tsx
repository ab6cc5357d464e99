'use client'

import type { Unsent } from './use-sending'

const WORDS: Readonly<Record<Exclude<Unsent, 'nothing'>, string>> = {
  here: 'Not sent yet.',
  kept: 'Not sent yet. Kept on this device.',
  earlier: 'Typed earlier and not sent yet.',
}

/** Says that what stands in the form is not with the office yet, and offers to throw away what is from another time. */
export function UnsentWords({ unsent, discard }: { unsent: Unsent; discard: () => void }) {
  if (unsent === 'nothing') return null
  return (
    <p className="form-unsent" role="status">
      {WORDS[unsent]}{' '}
      {unsent === 'earlier' && (
        <button type="button" className="quiet" onClick={discard}>
          Throw it away
        </button>
      )}
    </p>
  )
}
