/**
 * Slugs that were spelled otherwise once. Stored rows were renamed by a migration; what is never rewritten (commands as received, keys of
 * imported rows, addresses somebody kept) still says the former spelling and is read through here. Imports nothing: it runs on the phone too.
 */

/** Former spelling → the one of today: classes, failure modes, care tasks, kinds of tank and kinds of container. Only ever added to. */
export const formerly: Readonly<Record<string, string>> = {
  'canister-filter': 'external-filter',
  'auto-top-off': 'auto-top-up',

  'protein-skimmer/rotor-grit': 'protein-skimmer/impeller-grit',
  'protein-skimmer/rotor-film': 'protein-skimmer/impeller-film',
  'protein-skimmer/rotor-worn': 'protein-skimmer/impeller-worn',
  'return-pump/rotor-scale': 'return-pump/impeller-scale',
  'circulation-pump/rotor-coralline': 'circulation-pump/impeller-coralline',
  'canister-filter/media-clogged': 'external-filter/media-clogged',
  'canister-filter/seal-tired': 'external-filter/seal-tired',
  'canister-filter/rotor-scale': 'external-filter/impeller-scale',
  'auto-top-off/sensor-fouled': 'auto-top-up/sensor-fouled',
  'auto-top-off/pump-stuck': 'auto-top-up/pump-stuck',
  'auto-top-off/siphon': 'auto-top-up/siphon',
  'carbon-dioxide-set/bottle-empty': 'carbon-dioxide-set/cylinder-empty',

  'protein-skimmer/replace-rotor': 'protein-skimmer/replace-impeller',
  'return-pump/replace-rotor': 'return-pump/replace-impeller',
  'canister-filter/rinse-media': 'external-filter/rinse-media',
  'canister-filter/replace-seal': 'external-filter/replace-seal',
  'canister-filter/brush-rotor': 'external-filter/brush-impeller',
  'auto-top-off/wipe-sensor': 'auto-top-up/wipe-sensor',
  'auto-top-off/service-pump': 'auto-top-up/service-pump',
  'auto-top-off/break-siphon': 'auto-top-up/break-siphon',
  'carbon-dioxide-set/change-bottle': 'carbon-dioxide-set/change-cylinder',

  'fresh-community': 'freshwater-community',
  'top-off-water': 'top-up-water',
}

const FIRST = new Map(Object.entries(formerly).map(([former, current]) => [current, former]))

/** The spelling of today; what was never renamed (a business's own `own:…` too) comes back as it is. */
export function currentSlug(slug: string): string {
  return Object.hasOwn(formerly, slug) ? (formerly[slug] ?? slug) : slug
}

/**
 * The first spelling a slug ever had. Ids and fingerprints that are worked out from a slug use it, so that a renaming gives no row another
 * identity and a file that was brought once is still recognised.
 */
export function firstSlug(slug: string): string {
  return FIRST.get(slug) ?? slug
}
