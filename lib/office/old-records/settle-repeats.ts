/** Which rows of a file say the same, and which contradict each other; the answer does not hang on the order of rows. Pure. */
import { byCodePoint } from './keys'

export type Candidate<T> = {
  value: T
  file: string
  line: number
  /** What makes it the same thing. */
  identity: string
  /** What it says about the thing, normalised, by the field's label; '' where it says nothing. */
  content: Readonly<Record<string, string>>
  /** Decides between equal contents: the nicest spelling first; one name a line. */
  spelling: string
}

export type Settled<T> = {
  kept: Candidate<T>[]
  repeated: Candidate<T>[]
  contradicting: { candidate: Candidate<T>; kept: Candidate<T>; labels: string[] }[]
}

const filled = (candidate: Candidate<unknown>) => Object.values(candidate.content).filter((text) => text !== '').length
const signature = (candidate: Candidate<unknown>) => JSON.stringify(candidate.content)
/** A name all in capitals is somebody's hurry, not its spelling: how many lines of the spelling are such. */
const shouted = (text: string) =>
  text.split('\n').filter((line) => line === line.toUpperCase() && line !== line.toLowerCase()).length

const inOrder = (a: Candidate<unknown>, b: Candidate<unknown>) =>
  filled(b) - filled(a) ||
  byCodePoint(signature(a), signature(b)) ||
  shouted(a.spelling) - shouted(b.spelling) ||
  byCodePoint(a.spelling, b.spelling) ||
  byCodePoint(a.file, b.file) ||
  a.line - b.line

/**
 * Of all rows about one thing the fullest is kept; a row that says nothing else is a repeat; one that says otherwise contradicts it.
 */
export function settleRepeats<T>(candidates: readonly Candidate<T>[]): Settled<T> {
  const groups = new Map<string, Candidate<T>[]>()
  for (const candidate of candidates) {
    const group = groups.get(candidate.identity)
    if (group) group.push(candidate)
    else groups.set(candidate.identity, [candidate])
  }
  const result: Settled<T> = { kept: [], repeated: [], contradicting: [] }
  for (const group of groups.values()) {
    const [kept, ...others] = group.sort(inOrder)
    if (kept === undefined) continue
    result.kept.push(kept)
    for (const candidate of others) {
      const labels = Object.entries(candidate.content).flatMap(([label, text]) =>
        text === '' || text === kept.content[label] ? [] : [label],
      )
      if (labels.length === 0) result.repeated.push(candidate)
      else result.contradicting.push({ candidate, kept, labels })
    }
  }
  return result
}
