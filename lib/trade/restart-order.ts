/**
 * What was switched off during a visit must run again before leaving, in an order that harms nothing. Common practice, no
 * source: circulation and return first, skimmer when the level is steady, what needs flow once flow is proven, the heater
 * only when covered, dosing after that, the top-up last of all (an earlier one fills a sump that is about to rise).
 */

type Switchable = {
  slug: string
  name: string
  /** What to see before and after switching on. */
  text: string
  /** How long after the step before. */
  waitMinutes?: number
}

const ORDER = [
  { slug: 'air-pump', name: 'Air pump', text: 'Air pump on; bubbles rise.' },
  { slug: 'circulation-pump', name: 'Circulation pump', text: 'Circulation on; the surface moves.' },
  {
    slug: 'external-filter',
    name: 'External filter',
    text: 'External filter on; full flow, lid dry. Stopped for over two hours: rinse it before it runs.',
  },
  {
    slug: 'small-filter',
    name: 'Small filter',
    text: 'Small filter on; it primes by itself and water flows. Stopped for over two hours: rinse it before it runs.',
  },
  {
    slug: 'return-pump',
    name: 'Return pump',
    text: 'Return on; wait until display and sump levels are steady at their marks.',
  },
  {
    slug: 'feed-pause',
    name: 'Feed pause',
    text: 'Feed pause ended; it does not come back by itself on every controller.',
  },
  {
    slug: 'protein-skimmer',
    name: 'Protein skimmer',
    text: 'Skimmer on once the sump level is steady; watch the foam, leave it on the dry side.',
    waitMinutes: 5,
  },
  { slug: 'ozone-generator', name: 'Ozone', text: 'Ozone on only with the skimmer running and drawing air.' },
  { slug: 'media-reactor', name: 'Media reactor', text: 'Reactor on; outflow clear.' },
  { slug: 'uv-steriliser', name: 'UV steriliser', text: 'UV on once water is seen to flow through it.' },
  { slug: 'chiller', name: 'Chiller', text: 'Chiller on once flow through it is proven.' },
  { slug: 'heater', name: 'Heater', text: 'Heater on only now that it is covered by water; lamp or draw seen.' },
  { slug: 'light', name: 'Light', text: 'Light back on its programme; clock right.' },
  { slug: 'carbon-dioxide-set', name: 'CO2', text: 'CO2 on with flow proven; bubble count as before.' },
  { slug: 'calcium-reactor', name: 'Calcium reactor', text: 'Calcium reactor on; drip counted.' },
  { slug: 'dosing-pump', name: 'Dosing', text: 'Dosing on; no catching up of missed doses.' },
  { slug: 'lime-water-stirrer', name: 'Lime-water stirrer', text: 'Lime-water stirrer on, on its own switch.' },
  { slug: 'auto-top-up', name: 'Auto top-up', text: 'Top-up last: level at its mark, then on; it stops by itself.' },
] as const satisfies readonly Switchable[]

export type SwitchedSlug = (typeof ORDER)[number]['slug']
export const SWITCHABLE: readonly (Switchable & { slug: SwitchedSlug })[] = ORDER

/** Where the class of the catalogue is called otherwise, or where there are several. */
const CLASSES: Partial<Record<SwitchedSlug, readonly string[]>> = {
  light: ['led-light', 'lamp-light'],
  'feed-pause': ['power-and-control'],
}

/**
 * The classes of devices that stand still with a slug of the restart order: whether a tank has it is asked of these.
 * @example switchedClasses('light') // ['led-light', 'lamp-light']
 */
export function switchedClasses(slug: SwitchedSlug): readonly string[] {
  return CLASSES[slug] ?? [slug]
}

export type LeavingItem = { slug: string; text: string; waitMinutes?: number; kind: 'switch' | 'check' }

/** Whether water may have moved or got out by handling: asked for after anything was off. */
const STANDING: readonly LeavingItem[] = [
  { slug: 'check/sockets-dry', text: 'Sockets and plugs dry, none on the floor.', kind: 'check' },
  { slug: 'check/drip-loops', text: 'Every cable with its drip loop.', kind: 'check' },
  { slug: 'check/levels', text: 'Display and sump at their marks, no new drip or noise.', kind: 'check' },
  { slug: 'check/lids', text: 'Lids and guards back, doors closed, floor dry.', kind: 'check' },
  { slug: 'check/tools', text: 'Tools, blades and magnets out and counted.', kind: 'check' },
  { slug: 'check/cabinet-photo', text: 'One photo of the open cabinet as left.', kind: 'check' },
]

const RANK = new Map<string, number>(ORDER.map((item, rank) => [item.slug, rank]))
const rankOf = (slug: string) => RANK.get(slug) ?? Number.POSITIVE_INFINITY
const itemOf = (slug: string): Switchable | undefined => SWITCHABLE.find((item) => item.slug === slug)

/**
 * The leaving check: what was switched off, in restart order (the top-up last of all), then the standing checks. Nothing was
 * off: nothing to ask. A slug the trade does not know is asked for just before the top-up, never dropped.
 */
export function leavingCheck(switchedOff: readonly string[]): LeavingItem[] {
  const slugs = [...new Set(switchedOff)]
  if (slugs.length === 0) return []
  return [...inRestartOrder(slugs).map(switchItem), ...STANDING]
}

function inRestartOrder(slugs: readonly string[]): string[] {
  const last = rankOf('auto-top-up')
  const rank = (slug: string) => Math.min(rankOf(slug), slug === 'auto-top-up' ? last : last - 0.5)
  return [...slugs].sort((a, b) => rank(a) - rank(b))
}

function switchItem(slug: string): LeavingItem {
  const item = itemOf(slug)
  if (!item) return { slug, text: `${slug} on again and seen running.`, kind: 'switch' }
  const { text, waitMinutes } = item
  return { slug, text, kind: 'switch', ...(waitMinutes === undefined ? {} : { waitMinutes }) }
}

export type LeavingProblem = { slug: string; kind: 'still-off' | 'too-early'; text: string }

/**
 * What is wrong with leaving now: devices still off, and devices switched on before something they must wait for.
 * `switchedOn` is in the order in which it was done; devices in it that were never off are ignored.
 */
export function leavingProblems(switchedOff: readonly string[], switchedOn: readonly string[]): LeavingProblem[] {
  const off = new Set(switchedOff)
  const on = [...new Set(switchedOn)].filter((slug) => off.has(slug))
  const expected = inRestartOrder([...off])
  const stillOff = expected.filter((slug) => !on.includes(slug))
  const problems: LeavingProblem[] = stillOff.map((slug) => ({
    slug,
    kind: 'still-off',
    text: `${itemOf(slug)?.name ?? slug} is still off.`,
  }))
  for (const [place, slug] of on.entries()) {
    const before = MUST_WAIT_FOR[slug] ?? (slug === 'auto-top-up' ? expected.filter((other) => other !== slug) : [])
    const missing = before.filter((other) => off.has(other) && !on.slice(0, place).includes(other))
    if (missing.length > 0)
      problems.push({
        slug,
        kind: 'too-early',
        text: `${itemOf(slug)?.name ?? slug} was switched on before ${missing.map((other) => itemOf(other)?.name ?? other).join(', ')}: check it again.`,
      })
  }
  return problems
}

/** Only real dependencies are problems; the rest of the order is advice. The top-up waits for everything. */
const MUST_WAIT_FOR: Record<string, readonly string[]> = {
  'protein-skimmer': ['return-pump'],
  'ozone-generator': ['protein-skimmer'],
  'uv-steriliser': ['return-pump', 'external-filter'],
  chiller: ['return-pump', 'external-filter'],
  heater: ['return-pump', 'external-filter', 'small-filter'],
  'carbon-dioxide-set': ['external-filter'],
  'dosing-pump': ['return-pump', 'circulation-pump'],
  'calcium-reactor': ['return-pump'],
}
