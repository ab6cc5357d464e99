import { PageLink } from '../shell'

/** About two lines on a phone: more of it pushes what else waits off the screen. */
const SHOWN_CHARACTERS = 160

/** What somebody wrote, in quotation marks; what is long ends at a word, with a link to the whole. */
export function LongWords({ words, href }: { words: string; href: string }) {
  const short = shortened(words)
  if (short === words) return <>“{words}”</>
  return (
    <>
      “{short}…” <PageLink href={href}>Read all of it</PageLink>
    </>
  )
}

/** The beginning of a text up to a whole word; the text itself where it is short enough. */
export function shortened(words: string, most = SHOWN_CHARACTERS): string {
  if (words.length <= most) return words
  const start = words.slice(0, most + 1)
  const lastSpace = start.search(/\s\S*$/)
  return (lastSpace > most / 2 ? start.slice(0, lastSpace) : words.slice(0, most)).replace(/[\s.,;:]+$/, '')
}
