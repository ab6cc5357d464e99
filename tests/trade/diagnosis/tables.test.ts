// Shares, minutes and orders of the tables are common practice, no source, and say so beside each; what is tested here is that they hold together and keep to the rules of the house.
import { readFileSync } from 'node:fs'
import { build } from 'esbuild'
import { describe, expect, test } from 'vitest'
import { numberModel } from '@/lib/science/diagnosis/model'
import {
  CAUTION_SLUGS,
  familiesFor,
  faultFamilies,
  findFamily,
  findMode,
  findTask,
  modelOf,
  NO_SOURCE,
  NOT_FOUND,
  TANK_KINDS,
} from '@/lib/trade'

const families = faultFamilies.map((family) => [family.slug, family] as const)
const FULL = [
  'skimmer-unsteady',
  'return-flow-low',
  'skimmer-overflows',
  'temperature-low',
  'temperature-high',
  'water-on-the-floor',
  'fish-breathing-fast',
  'salinity-low',
  'salinity-high',
  'top-up-often',
  'cloudy-water',
]

test('the families asked for are there, slugs are unique and readable', () => {
  for (const slug of FULL) expect(findFamily(slug), slug).not.toBeNull()
  expect(findFamily('x')).toBeNull()
  const slugs = faultFamilies.map(({ slug }) => slug)
  expect(new Set(slugs).size).toBe(slugs.length)
  for (const family of faultFamilies)
    for (const { slug } of [
      family,
      ...family.causes,
      ...family.checks,
      ...family.setUps,
      ...family.checks.flatMap(({ answers }) => answers),
    ])
      expect(slug).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/)
})

describe.each(families)('%s', (_, family) => {
  test('shares sum to 100, the honest end is one of them and comes last', () => {
    expect(family.causes.reduce((sum, { sharePercent }) => sum + sharePercent, 0)).toBeCloseTo(100, 9)
    for (const { sharePercent, slug } of family.causes) expect(sharePercent, slug).toBeGreaterThan(0)
    expect(family.causes.filter(({ last }) => last).map(({ slug }) => slug)).toEqual([NOT_FOUND])
  })
  test.each([undefined, ...TANK_KINDS])('every check tells causes apart (%s)', (tankKind) => {
    if (tankKind && family.tankKinds && !family.tankKinds.includes(tankKind)) return
    for (const { slug, chances } of numberModel(modelOf(family, tankKind ? { tankKind } : {})).checks) {
      const tells = chances.some((row) => Math.max(...row) - Math.min(...row) > 0.3)
      expect(tells, slug).toBe(true)
    }
  })
  test('every figure has its source, or says that there is none', () => {
    for (const { slug, source } of [...family.causes, ...family.checks, ...family.setUps])
      expect(source, slug).toBe(NO_SOURCE)
  })
  test('modes, tasks and families that it points to are there; a task renews the mode', () => {
    for (const { slug, mode, task, leadsTo } of family.causes) {
      if (mode) expect(findMode(mode), slug).not.toBeNull()
      if (task) expect(findTask(task)?.renews, slug).toContain(mode)
      if (leadsTo) expect(findFamily(leadsTo), slug).not.toBeNull()
    }
  })
  test('cautions of the task stand beside the cure, or beside the set-up it needs', () => {
    for (const cause of family.causes) {
      const shown = shownAt(cause)
      for (const caution of findTask(cause.task ?? '')?.cautions ?? []) expect(shown, cause.slug).toContain(caution)
    }
  })
  test('where a plug comes out the caution stands: in words, and at every step that needs it', () => {
    for (const setUp of family.setUps) {
      expect(shownAt({ ...setUp, needs: [...setUp.needs, setUp.slug] }), setUp.slug).toContain('plug-out')
      if (/plug/i.test(setUp.name)) expect(setUp.switchesOff, setUp.slug).not.toEqual([])
    }
    for (const check of family.checks)
      if (/plugs? out|off at the plug/i.test(check.question)) expect(shownAt(check), check.slug).toContain('plug-out')
    for (const check of family.checks.filter(({ kind, running }) => kind === 'open' && !running))
      expect(shownAt(check), check.slug).toContain('plug-out')
    for (const cause of family.causes)
      if (/plug (?:comes )?out/i.test(cause.remedy)) expect(shownAt(cause), cause.slug).toContain('plug-out')
  })
  test('acid and bleach never meet, and every caution is known', () => {
    for (const step of [...family.causes, ...family.checks, ...family.firstSteps, ...family.beforeLeaving]) {
      const shown = 'needs' in step ? shownAt(step) : step.cautions
      expect(shown.includes('acid') && shown.includes('bleach')).toBe(false)
      for (const caution of shown) expect(CAUTION_SLUGS).toContain(caution)
    }
  })
  test('speaks plainly', () => {
    for (const text of textsOf(family)) {
      expect(text).toMatch(/^(?:[A-Z0-9]|pH)/)
      expect(text).not.toMatch(WRONG_WORDS)
      expect(text).not.toMatch(/[A-Z][a-z]+[A-Z]|[®™]/) // a brand, most often
    }
    for (const { question } of family.checks) expect(question).toMatch(/[.?]$/)
    for (const { remedy } of family.causes) expect(remedy).toMatch(/[.]$/)
  })

  function shownAt(step: { needs: readonly string[]; cautions: readonly string[] }): string[] {
    const around = family.setUps.filter(({ slug }) => step.needs.includes(slug))
    return [...step.cautions, ...around.flatMap(({ cautions }) => cautions)]
  }
})

/** Left-hand words of the project's list, and American ones: a business in America reads them through one table. */
const WRONG_WORDS =
  /\b(?:rotor|muffler|canister|top-off|CO2 bottle|breaker|please|cured?|color|sterilizer|fresh community|well of the impeller)\b/i

function textsOf(family: (typeof faultFamilies)[number]): string[] {
  return [
    family.sign,
    ...family.firstSteps.map(({ text }) => text),
    ...family.beforeLeaving.map(({ text }) => text),
    ...family.setUps.map(({ name }) => name),
    ...family.causes.flatMap(({ name, remedy }) => [name, remedy]),
    ...family.checks.flatMap(({ question, answers }) => [
      question,
      ...answers.flatMap(({ words, now }) => (now ? [words, now] : [words])),
    ]),
  ]
}

// The corrections that stand above the tables, one by one. Common practice, no source.
describe('what cannot wait', () => {
  const family = (slug: string) => findFamily(slug) ?? faultFamilies[0]
  const nowAt = (slug: string, check: string, answer: string) =>
    family(slug)
      ?.checks.find((one) => one.slug === check)
      ?.answers.find((one) => one.slug === answer)?.now ?? ''
  const first = (slug: string) =>
    family(slug)
      ?.firstSteps.map(({ text }) => text)
      .join(' ') ?? ''
  test('return low', () => {
    expect(nowAt('return-flow-low', 'levels', 'drain-side')).toContain('Return off now')
    expect(nowAt('return-flow-low', 'levels', 'both-low')).toMatch(/Heater and top-up off.*salinity/)
    expect(family('return-flow-low')?.checks.find(({ slug }) => slug === 'outlet-free')?.question).toMatch(
      /^Top-up off.*plug out.*bucket/,
    )
  })
  test('skimmer overflows: plug out first, the cup never into a food sink, return and container asked', () => {
    expect(first('skimmer-overflows')).toMatch(/^Skimmer plug out/)
    expect(first('skimmer-overflows')).toContain('never a food or hand sink')
    expect(family('skimmer-overflows')?.checks.map(({ slug }) => slug)).toEqual(
      expect.arrayContaining(['return-running', 'container']),
    )
  })
  test('temperature: the plug of the heater, not the pumps; the set point first; no ice', () => {
    expect(nowAt('temperature-high', 'lamp', 'lit')).toMatch(/Heater plug out now.*pumps stay on/)
    expect(family('temperature-low')?.checks.find(({ slug }) => slug === 'draw')?.question).toMatch(
      /^Raise the set point/,
    )
    expect(first('temperature-high')).toContain('No ice')
  })
  test('water on the floor: power, then top-up and RO; told before leaving', () => {
    expect(first('water-on-the-floor')).toMatch(/^Power safe.*RO tap shut.*bailed before the return is stopped/)
    expect(family('water-on-the-floor')?.beforeLeaving[0]?.text).toContain('who was told')
    expect(
      modelOf(family('water-on-the-floor') ?? raise(), { tankKind: 'planted' }).checks.map(({ slug }) => slug),
    ).toContain('tank-or-tap')
  })
  test('breathing fast: air and CO2 together; chlorine before any change; a vet', () => {
    expect(first('fish-breathing-fast')).toMatch(/^Air on first.*CO2.*valve.*people out/)
    const breathing = family('fish-breathing-fast')
    const change = breathing?.causes.find(({ slug }) => slug === 'ammonia-or-nitrite')
    expect(change?.shownBy).toEqual(['ammonia'])
    expect(breathing?.checks.find(({ slug }) => slug === 'ammonia')?.after).toContain('chlorine')
    const asked = (tankKind: 'reef' | 'planted') =>
      modelOf(breathing ?? raise(), { tankKind }).checks.map(({ slug }) => slug)
    expect(asked('reef')).not.toContain('nitrite')
    expect(asked('planted')).toContain('nitrite')
  })
  test('salinity: top-up off first; floor and cup before the rest; low on purpose?', () => {
    expect(first('salinity-low')).toMatch(/^Top-up off first.*on purpose/)
    const often = family('top-up-often')?.checks ?? []
    expect(often[0]?.slug).toBe('floor-and-cup')
    expect(often.slice(1).every(({ after }) => after.includes('floor-and-cup'))).toBe(true)
  })
  test('cloudy: breathing first; dosing and lime water off', () => {
    expect(first('cloudy-water')).toMatch(/breathe.*dosing and lime water off/)
  })
})

function raise(): never {
  throw new Error('the family is missing')
}

test('a place narrows the signs: no skimmer in a planted tank, CO2 in no reef; the signs of the device come first', () => {
  const slugs = (place: Parameters<typeof familiesFor>[0]) => familiesFor(place).map(({ slug }) => slug)
  expect(slugs({ tankKind: 'planted' })).not.toContain('skimmer-unsteady')
  expect(slugs({ tankKind: 'reef' })).not.toContain('indicator-off-colour')
  expect(slugs({ fitted: ['heater'] })).not.toContain('return-flow-low')
  expect(slugs({ device: 'return-pump' })[0]).toBe('return-flow-low')
})

test('algae in a planted tank: unstable CO2 a quarter; without it the rest as in the table', () => {
  const algae = findFamily('algae-outbreak') ?? raise()
  const share = (tankKind: 'planted' | 'reef', slug: string) => {
    const { causes } = modelOf(algae, { tankKind })
    const sum = causes.reduce((total, { prior }) => total + prior, 0)
    return (causes.find((one) => one.slug === slug)?.prior ?? 0) / sum
  }
  expect(share('planted', 'unstable-gas')).toBeCloseTo(0.25, 9)
  expect(share('reef', 'nutrients')).toBeCloseTo(0.35, 9)
  expect(share('reef', 'unstable-gas')).toBe(0)
})

test('goes to the phone: serialisable, no barrel behind it, under 24 kB compressed', async () => {
  expect(JSON.parse(JSON.stringify(faultFamilies))).toEqual(faultFamilies)
  const { outputFiles, metafile } = await build({
    entryPoints: ['lib/trade/diagnosis/index.ts'],
    ...{ bundle: true, write: false, metafile: true, minify: true, format: 'esm', logLevel: 'silent' },
    alias: { '@': process.cwd() },
  })
  const { gzipSync } = await import('node:zlib')
  expect(gzipSync(outputFiles[0]?.contents ?? readFileSync('package.json')).length / 1000).toBeLessThan(24)
  for (const input of Object.keys(metafile.inputs))
    expect(input).toMatch(/^lib\/(?:trade\/diagnosis\/|science\/diagnosis\/|trade\/catalogue\/define[.]ts)/)
})
