/** How a tank is, in a few words for its client: what its page says at length. Pure. */
import { listed } from './plain-words'

export type TankState = { words: string; isFine: boolean }

type Water = { name: string; how: 'fine' | 'off' | 'far' | 'unknown' }

/** Null where nothing was measured and no visit was left open. Whatever is not as it should be is named, the worst first. */
export function tankState(lastOutcome: string | null, water: readonly Water[]): TankState | null {
  const named = (how: Water['how']) => water.filter((line) => line.how === how).map(({ name }) => inSentence(name))
  const [far, off] = [named('far'), named('off')]
  const left = lastOutcome === null ? '' : (AFTER[lastOutcome] ?? '')
  const isFine = far.length + off.length === 0
  const words = [
    far.length === 0 ? '' : `In the water, ${listed(far)} ${was(far)} far from where ${they(far)} should be.`,
    off.length === 0 ? '' : `In the water, ${listed(off)} ${was(off)} not quite as ${they(off)} should be.`,
    isFine && named('fine').length > 0 ? 'The water is as it should be.' : '',
    left,
  ].filter((part) => part !== '')
  return words.length === 0 ? null : { words: words.join(' '), isFine: isFine && left === '' }
}

const AFTER: Readonly<Record<string, string>> = {
  cut_short: 'We come back for what was left undone.',
  no_access: 'We could not get in the last time.',
}
const was = (things: readonly string[]) => (things.length === 1 ? 'was' : 'were')
const they = (things: readonly string[]) => (things.length === 1 ? 'it' : 'they')
/** "pH" stays as it is; "Salinity" begins small inside a sentence. */
const inSentence = (name: string) => (/^[A-Z][a-z]/.test(name) ? name.charAt(0).toLowerCase() + name.slice(1) : name)
