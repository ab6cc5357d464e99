import type { ReactNode } from 'react'

/** One telephone number within a text: a plus or a bracket may begin it, and at least six digits make it one. */
const NUMBER = /[+(]?\d[\d\s().-]*\d/g
const LEAST_DIGITS = 6

/** What somebody wrote under "Phone", each number in it a link of its own: "01632 960123 / mob. 07700 900456, after four". */
export function PhoneLink({ phone }: { phone: string }) {
  const parts: ReactNode[] = []
  let from = 0
  for (const match of phone.matchAll(NUMBER)) {
    // A nought in brackets is left out after the country's number.
    const digits = match[0].replace(/(?<=^\+\d[\d\s]*)\(0\)/, '').replace(/[^+\d]/g, '')
    if (digits.length < LEAST_DIGITS) continue
    parts.push(
      phone.slice(from, match.index),
      <a key={match.index} href={`tel:${digits}`}>
        {match[0]}
      </a>,
    )
    from = match.index + match[0].length
  }
  return (
    <>
      {parts}
      {phone.slice(from)}
    </>
  )
}
