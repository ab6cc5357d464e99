'use client'

import { useEffect, useRef, useState } from 'react'
import { unsentBeside, unsentWords } from '@/components/forms/unsent'

/** Stops the first step to another page while something typed on this one is not recorded, and says so; the second step goes on. */
export function UnsentGuard() {
  const [words, setWords] = useState('')
  const said = useRef<HTMLParagraphElement>(null)
  useEffect(() => {
    const stop = (event: MouseEvent) => {
      const link = event.target instanceof Element ? event.target.closest('a[href]') : null
      if (!link || words !== '' || link.getAttribute('target') === '_blank') return
      // The way back in is a form's own answer: its words are kept, and stand here again afterwards.
      if (link.closest('[role="alert"]')) return
      const unsent = unsentBeside(null)
      if (unsent.length === 0) return
      event.preventDefault()
      event.stopPropagation()
      setWords(unsentWords(unsent))
    }
    document.addEventListener('click', stop, { capture: true })
    return () => document.removeEventListener('click', stop, { capture: true })
  }, [words])
  useEffect(() => {
    if (words !== '') said.current?.scrollIntoView({ block: 'center' })
  }, [words])
  if (words === '') return null
  return (
    <p ref={said} role="alert" className="call">
      {words}
    </p>
  )
}
