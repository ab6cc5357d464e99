/** What a client reads about a visit: plain sentences, no inner words, no odds. Bad news is told calmly and truthfully. */
export type VisitFacts = {
  technician: string | null
  outcome: 'done' | 'cut_short' | 'no_access' | null
  minutes: number | null
  noteForClient: string
  /** Share of the tank's water that was changed, all changes together; 0 where none was. */
  waterChangedPercent: number
  findings: {
    /** The device or the place, as a client would call it. */
    thing: string
    asFound: 'ok' | 'needs_it' | 'failed' | 'not_looked'
    remedy: string
    asLeft: string
    cureConfidence: 'sure' | 'likely' | 'not_sure' | null
  }[]
}

export type PlainVisit = {
  opening: string
  found: string[]
  water: string | null
  looked: string | null
  note: string | null
}

/** The first sentence goes on with the day, which the page writes in the client's own way: "Priya was here on …". */
export function plainVisit(facts: VisitFacts): PlainVisit {
  const who = facts.technician ?? 'We'
  const were = facts.technician ? 'was' : 'were'
  const open = {
    done: `${who} ${were} here`,
    cut_short: `${who} ${were} here and had to leave before everything was done; we come back for the rest`,
    no_access: `${who} came and could not get in`,
  }
  const needs = facts.findings.filter((finding) => finding.asFound === 'needs_it' || finding.asFound === 'failed')
  const fine = [
    ...new Set(facts.findings.filter((finding) => finding.asFound === 'ok').map((finding) => finding.thing)),
  ]
  return {
    opening: open[facts.outcome ?? 'done'],
    found: needs.map(foundSentence),
    water:
      facts.waterChangedPercent > 0
        ? `We changed about ${Math.max(1, Math.round(facts.waterChangedPercent))} % of the water.`
        : null,
    looked: fine.length === 0 ? null : `Looked at and in order: ${listed(fine)}.`,
    note: facts.noteForClient.trim() || null,
  }
}

function foundSentence({ thing, asFound, remedy, asLeft, cureConfidence }: VisitFacts['findings'][number]): string {
  const first =
    asFound === 'failed' ? `${capital(thing)} had stopped working as it should` : `${capital(thing)} needed attention`
  const did = remedy.trim() ? `; ${lower(ending(remedy))}` : ''
  const left = asLeft.trim() ? `. ${capital(ending(asLeft))}` : ''
  const watch = cureConfidence === 'not_sure' ? '. We are keeping an eye on it' : ''
  return `${first}${did}${left}${watch}.`
}

/** "a, b and c". */
export function listed(things: readonly string[]): string {
  if (things.length < 2) return things.join('')
  return `${things.slice(0, -1).join(', ')} and ${things.at(-1)}`
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1)
const ending = (text: string) => text.trim().replace(/[.;,\s]+$/, '')
/** Lower case at the start of a clause, unless the word is written in capitals. */
const lower = (text: string) => (/^[A-Z]{2}/.test(text) ? text : text.charAt(0).toLowerCase() + text.slice(1))
