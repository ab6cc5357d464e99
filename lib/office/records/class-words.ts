/**
 * Words for kinds of equipment and for what goes wrong with them, to the catalogue's slugs. Words that are not known stay the
 * file's own, with the prefix `own:`. The words themselves are always kept beside the slug. Pure.
 */
import { plainWords } from './keys'

const CLASS_WORDS: Readonly<Record<string, readonly string[]>> = {
  'protein-skimmer': ['protein skimmer', 'skimmer', 'foam fractionator', 'foamer'],
  'return-pump': ['return pump', 'return', 'main pump', 'sump pump', 'lift pump'],
  'circulation-pump': ['circulation pump', 'flow pump', 'wave pump', 'stream pump', 'powerhead', 'wavemaker'],
  heater: ['heater', 'heater thermostat', 'heater and thermostat', 'aquarium heater'],
  chiller: ['chiller', 'cooler'],
  'canister-filter': ['canister filter', 'canister', 'external filter', 'box filter'],
  'hang-on-filter': ['hang on filter', 'hang on back filter', 'hob filter'],
  'dosing-pump': ['dosing pump', 'doser', 'dosing unit', 'dosing'],
  'auto-top-off': ['auto top off', 'automatic top off', 'top off', 'top up', 'auto top up', 'ato'],
  'uv-steriliser': ['uv steriliser', 'uv sterilizer', 'uv', 'uv clarifier', 'uv unit', 'ultraviolet steriliser'],
}

/** Per class, the key of a mode and the words for it. */
const MODE_WORDS: Readonly<Record<string, Readonly<Record<string, readonly string[]>>>> = {
  'protein-skimmer': {
    'rotor-film': ['rotor film', 'film on rotor', 'magnet film', 'bacterial film'],
    'wheel-clogged': ['wheel clogged', 'needle wheel clogged', 'wheel blocked', 'clogged wheel'],
    'air-line-restricted': ['air line restricted', 'air line blocked', 'airline restricted', 'air restricted'],
  },
  'return-pump': { scale: ['rotor scale', 'scale', 'film scale', 'rotor scaled'] },
  'circulation-pump': { scale: ['rotor coralline', 'coralline', 'scale', 'rotor scale'] },
  heater: { 'reads-off': ['reads off by more than 1 c', 'reads off', 'off by more than 1 c', 'reading off'] },
  'canister-filter': { 'media-clogged': ['media clogged', 'clogged media', 'media full'] },
  'dosing-pump': { 'tube-tired': ['tube tired', 'tube worn', 'tired tube'] },
  'auto-top-off': { 'sensor-fouled': ['sensor fouled', 'sensor dirty', 'fouled sensor'] },
  'uv-steriliser': { 'lamp-past-hours': ['lamp past its hours', 'lamp past hours', 'lamp old', 'lamp expired'] },
}

const CLASS_OF_WORDS = new Map(
  Object.entries(CLASS_WORDS).flatMap(([slug, words]) => words.map((word) => [word, slug] as const)),
)

/** Drops a trailing number or mark of order ("heater 2", "return pump A"), which names a device, not a class. */
const withoutOrder = (words: string) => words.replace(/ (?:no |nr )?(?:\d{1,2}|[a-d])$/, '')

export type NamedThing = { slug: string; words: string; known: boolean }

/**
 * The class of a device, by the words for it; `own:<words>` where the catalogue knows none.
 * `ordered`: the words end in a number or mark of order, so that they name one device of several.
 */
export function equipmentClassOf(text: string): NamedThing & { ordered: boolean } {
  const words = plainWords(text)
  const bare = withoutOrder(words)
  const ordered = bare !== words && !CLASS_OF_WORDS.has(words)
  const slug = CLASS_OF_WORDS.get(words) ?? CLASS_OF_WORDS.get(words.replace(/s$/, '')) ?? CLASS_OF_WORDS.get(bare)
  return { slug: slug ?? `own:${bare}`, words: text.trim(), known: slug !== undefined, ordered }
}

/** The failure mode that the words name within a class: `class/mode`, or `own:<words>`. */
export function failureModeOf(classSlug: string, text: string): NamedThing {
  const words = plainWords(text)
  const modes = Object.hasOwn(MODE_WORDS, classSlug) ? MODE_WORDS[classSlug] : undefined
  const key = Object.entries(modes ?? {}).find(([, known]) => known.includes(words))?.[0]
  return key === undefined
    ? { slug: `own:${words}`, words: text.trim(), known: false }
    : { slug: `${classSlug}/${key}`, words: text.trim(), known: true }
}

/** Every catalogue slug this file can answer with, so that a test can hold it against the catalogue. */
export function slugsUsed(): { classes: string[]; modes: string[] } {
  return {
    classes: Object.keys(CLASS_WORDS),
    modes: Object.entries(MODE_WORDS).flatMap(([slug, modes]) => Object.keys(modes).map((key) => `${slug}/${key}`)),
  }
}
