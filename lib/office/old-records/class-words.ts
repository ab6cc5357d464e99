/**
 * Words for kinds of equipment and for what goes wrong with them, to the catalogue's slugs: the catalogue's own names, the words of
 * its slugs, and what people write besides. Words that are not known stay the file's own, with the prefix `own:`. The words
 * themselves are always kept beside the slug. Pure.
 */
import { equipmentClasses, failureModes } from '@/lib/trade/catalogue'
import { firstSlug } from '@/lib/trade/catalogue/formerly'
import { plainWords } from '../frame/plain-words'

const MORE_CLASS_WORDS: Readonly<Record<string, readonly string[]>> = {
  'protein-skimmer': ['skimmer', 'foam fractionator'],
  'return-pump': ['return', 'sump pump', 'lift pump'],
  'circulation-pump': ['flow pump', 'wave pump', 'stream pump'],
  heater: ['thermostat', 'heater thermostat', 'aquarium heater'],
  'external-filter': ['canister', 'external filter', 'box filter'],
  'small-filter': ['hang on filter', 'hang on back filter', 'internal filter', 'sponge filter'],
  'filter-sock': ['filter sock', 'filter socks', 'fleece roll', 'roller filter'],
  'dosing-pump': ['doser', 'dosing unit'],
  'auto-top-up': ['automatic top off', 'top off', 'top up', 'auto top up', 'automatic top up'],
  'uv-steriliser': ['uv', 'uv sterilizer', 'uv clarifier', 'ultraviolet steriliser', 'ultraviolet sterilizer'],
  'reverse-osmosis': ['ro unit', 'reverse osmosis unit', 'ro di', 'rodi'],
  'led-light': ['led', 'light', 'lights'],
}

const MORE_MODE_WORDS: Readonly<Record<string, readonly string[]>> = {
  'protein-skimmer/impeller-film': ['film on rotor', 'magnet film', 'bacterial film'],
  'protein-skimmer/wheel-clogged': ['needle wheel clogged', 'rotor clogged', 'wheel blocked'],
  'protein-skimmer/air-line-restricted': ['air line blocked', 'airline restricted', 'airline blocked'],
  'return-pump/impeller-scale': ['scale', 'rotor scaled', 'rotor film'],
  'circulation-pump/impeller-coralline': ['coralline', 'scale', 'rotor scale'],
  'heater/reads-off': ['reads off by more than 1 c', 'off by more than 1 c'],
  'external-filter/media-clogged': ['clogged media', 'clogged'],
  'dosing-pump/tube-tired': ['tube worn', 'tired tube'],
  'auto-top-up/sensor-fouled': ['sensor dirty', 'fouled sensor'],
  'uv-steriliser/lamp-past-hours': ['lamp past its hours', 'lamp old', 'old lamp'],
}

/** What the catalogue itself called them once: files with these words are still about. */
const FORMER_NAMES: Readonly<Record<string, readonly string[]>> = {
  'external-filter': ['Canister or box filter', 'outside filter'],
  'auto-top-up': ['Auto top-off', 'water refill'],
  'protein-skimmer/wheel-clogged': ['Rotor or needle wheel clogged with stringy macroalgae'],
  'protein-skimmer/impeller-grit': ['Sand, grit or shell between rotor and well'],
  'protein-skimmer/impeller-film': ['Bacterial film on magnet and well'],
  'protein-skimmer/impeller-worn': ['Rotor or bearing worn'],
  'protein-skimmer/air-line-restricted': ['Air line, muffler or nozzle restricted by salt'],
  'return-pump/impeller-scale': ['Film or scale on the rotor'],
  'return-pump/worn': ['Rotor or bearing worn'],
  'circulation-pump/impeller-coralline': ['Scale or coralline on the rotor'],
  'external-filter/impeller-scale': ['Film or scale on the rotor'],
  'external-filter/seal-tired': ['Seal tired'],
  'air-pump/diaphragm-tired': ['Diaphragm tired'],
  'dosing-pump/tube-tired': ['Tube tired'],
  'carbon-dioxide-set/cylinder-empty': ['Bottle near empty'],
  'reverse-osmosis/membrane-tired': ['Membrane tired'],
}

const CLASS_OF_WORDS = new Map<string, string>()
for (const { slug, name, plainName } of equipmentClasses) {
  const all = [slug, name, plainName, firstSlug(slug), ...(FORMER_NAMES[slug] ?? []), ...(MORE_CLASS_WORDS[slug] ?? [])]
  for (const words of all.map(plainWords)) if (!CLASS_OF_WORDS.has(words)) CLASS_OF_WORDS.set(words, slug)
}

const modePlace = (classSlug: string, words: string) => `${classSlug}/${words}`
/** Words understood since the first version, and those that came with other names of the catalogue: see `key` of a failure mode. */
const MODE_OF_FIRST_WORDS = new Map<string, string>()
const MODE_OF_WORDS = new Map<string, string>()
for (const { slug, equipmentClass, name } of failureModes) {
  const ofSlug = (of: string) => of.slice(of.indexOf('/'))
  const first = [ofSlug(firstSlug(slug)), ...(FORMER_NAMES[slug] ?? [name]), ...(MORE_MODE_WORDS[slug] ?? [])]
  const add = (words: string, to: Map<string, string>) => {
    const place = modePlace(equipmentClass, plainWords(words))
    if (!to.has(place)) to.set(place, slug)
  }
  for (const words of first) add(words, MODE_OF_FIRST_WORDS)
  for (const words of [ofSlug(slug), name]) add(words, MODE_OF_WORDS)
}

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

/**
 * The failure mode that the words name within a class: `class/mode`, or `own:<words>`. `key` is what the same words meant when a file may
 * first have been brought, so that the same file is recognised after a renaming, and after words became known that were not.
 */
export function failureModeOf(classSlug: string, text: string): NamedThing & { key: string } {
  const words = plainWords(text)
  const place = modePlace(classSlug, words)
  const first = MODE_OF_FIRST_WORDS.get(place)
  const slug = first ?? MODE_OF_WORDS.get(place)
  const own = `own:${words}`
  return {
    slug: slug ?? own,
    words: text.trim(),
    known: slug !== undefined,
    key: first === undefined ? own : firstSlug(first),
  }
}

/** Slugs for which words are added here, so that a test can hold them against the catalogue. */
export const SLUGS_WITH_MORE_WORDS = { classes: Object.keys(MORE_CLASS_WORDS), modes: Object.keys(MORE_MODE_WORDS) }
