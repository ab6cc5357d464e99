/**
 * Words for kinds of equipment and for what goes wrong with them, to the catalogue's slugs: the catalogue's own names, the words of
 * its slugs, and what people write besides. Words that are not known stay the file's own, with the prefix `own:`. The words
 * themselves are always kept beside the slug. Pure.
 */
import { equipmentClasses, failureModes } from '@/lib/trade/catalogue'
import { plainWords } from './keys'

const MORE_CLASS_WORDS: Readonly<Record<string, readonly string[]>> = {
  'protein-skimmer': ['skimmer', 'foam fractionator'],
  'return-pump': ['return', 'sump pump', 'lift pump'],
  'circulation-pump': ['flow pump', 'wave pump', 'stream pump'],
  heater: ['thermostat', 'heater thermostat', 'aquarium heater'],
  'canister-filter': ['canister', 'external filter', 'box filter'],
  'small-filter': ['hang on filter', 'hang on back filter', 'internal filter', 'sponge filter'],
  'filter-sock': ['filter sock', 'filter socks', 'fleece roll', 'roller filter'],
  'dosing-pump': ['doser', 'dosing unit'],
  'auto-top-off': ['automatic top off', 'top off', 'top up', 'auto top up', 'automatic top up'],
  'uv-steriliser': ['uv', 'uv sterilizer', 'uv clarifier', 'ultraviolet steriliser', 'ultraviolet sterilizer'],
  'reverse-osmosis': ['ro unit', 'reverse osmosis unit', 'ro di', 'rodi'],
  'led-light': ['led', 'light', 'lights'],
}

const MORE_MODE_WORDS: Readonly<Record<string, readonly string[]>> = {
  'protein-skimmer/rotor-film': ['film on rotor', 'magnet film', 'bacterial film'],
  'protein-skimmer/wheel-clogged': ['needle wheel clogged', 'rotor clogged', 'wheel blocked'],
  'protein-skimmer/air-line-restricted': ['air line blocked', 'airline restricted', 'airline blocked'],
  'return-pump/rotor-scale': ['scale', 'rotor scaled', 'rotor film'],
  'circulation-pump/rotor-coralline': ['coralline', 'scale', 'rotor scale'],
  'heater/reads-off': ['reads off by more than 1 c', 'off by more than 1 c'],
  'canister-filter/media-clogged': ['clogged media', 'clogged'],
  'dosing-pump/tube-tired': ['tube worn', 'tired tube'],
  'auto-top-off/sensor-fouled': ['sensor dirty', 'fouled sensor'],
  'uv-steriliser/lamp-past-hours': ['lamp past its hours', 'lamp old', 'old lamp'],
}

const CLASS_OF_WORDS = new Map<string, string>()
for (const { slug, name, plainName } of equipmentClasses)
  for (const words of [slug, name, plainName, ...(MORE_CLASS_WORDS[slug] ?? [])].map(plainWords))
    if (!CLASS_OF_WORDS.has(words)) CLASS_OF_WORDS.set(words, slug)

const MODE_OF_WORDS = new Map<string, string>()
const modePlace = (classSlug: string, words: string) => `${classSlug}/${words}`
for (const { slug, equipmentClass, name } of failureModes)
  for (const words of [slug.slice(equipmentClass.length), name, ...(MORE_MODE_WORDS[slug] ?? [])].map(plainWords))
    if (!MODE_OF_WORDS.has(modePlace(equipmentClass, words))) MODE_OF_WORDS.set(modePlace(equipmentClass, words), slug)

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
  const slug = MODE_OF_WORDS.get(modePlace(classSlug, words))
  return { slug: slug ?? `own:${words}`, words: text.trim(), known: slug !== undefined }
}

/** Slugs for which words are added here, so that a test can hold them against the catalogue. */
export const SLUGS_WITH_MORE_WORDS = { classes: Object.keys(MORE_CLASS_WORDS), modes: Object.keys(MORE_MODE_WORDS) }
