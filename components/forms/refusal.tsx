'use client'

import { useEffect, useState } from 'react'
import { Problem } from '@/components/paper'
import { PageLink } from '@/components/shell'
import { readList } from '@/lib/office/frame/result'
import type { Answer } from '@/lib/office/frame/schema'

/** Why something was not saved, read out at once; several reasons stand one below the other, and who is signed out finds the way in and back. */
export function Refusal({ refused }: { refused: Extract<Answer, { ok: false }> }) {
  const { opening, reasons, closing } = readList(refused.words ?? (refused.fields ? '' : 'This could not be saved.'))
  if (opening === '') return null
  return (
    <Problem title={reasons.length > 0 ? opening : undefined}>
      {reasons.length === 0 ? (
        opening
      ) : (
        <ul>
          {reasons.map((reason) => (
            <li key={reason}>{reason}</li>
          ))}
        </ul>
      )}
      {closing !== '' && <p>{closing}</p>}
      {refused.reason === 'signed-out' && <SignInAgain />}
    </Problem>
  )
}

/** To the sign-in page, and from there back to this one. */
function SignInAgain() {
  const [back, setBack] = useState('/')
  useEffect(() => setBack(`${location.pathname}${location.search}`), [])
  return (
    <p>
      <PageLink className="button" href={`/sign-in?back=${encodeURIComponent(back)}`}>
        Sign in again
      </PageLink>
    </p>
  )
}
