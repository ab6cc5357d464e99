// What a search switches off must run again before leaving, so it is named, booked and known. Common practice, no source.
import { describe, expect, test } from 'vitest'
import { equipmentClasses, SWITCHABLE, switchedClasses } from '@/lib/trade'
import { type FaultFamily, faultFamilies, findFamily } from '@/lib/trade/diagnosis'

describe('what is switched off', () => {
  const offOf = (family: FaultFamily) => [
    ...family.setUps.map(({ slug, name, switchesOff }) => ({ at: slug, text: name, off: switchesOff })),
    ...family.firstSteps.map(({ text, switchesOff = [] }, place) => ({ at: `first ${place}`, text, off: switchesOff })),
    ...family.checks.flatMap((check) =>
      check.answers.map(({ slug, now = '', switchesOff = [] }) => ({
        at: `${check.slug}/${slug}`,
        text: now,
        off: switchesOff,
      })),
    ),
  ]
  const classes = new Set<string>(equipmentClasses.map(({ slug }) => slug))

  test('every slug is of the restart order, and stands for classes of the catalogue', () => {
    const known = new Set<string>(SWITCHABLE.map(({ slug }) => slug))
    for (const family of faultFamilies)
      for (const { at, off } of offOf(family))
        for (const slug of off) expect(known, `${family.slug}/${at}`).toContain(slug)
    for (const { slug } of SWITCHABLE)
      for (const one of switchedClasses(slug)) expect(classes, `${slug} as ${one}`).toContain(one)
    expect(switchedClasses('light')).toEqual(['led-light', 'lamp-light'])
  })
  // Each device by the words a step may have for it: none is booked as off unless the step says so.
  const SAYS: Record<string, RegExp> = {
    'return-pump': /return/i,
    'external-filter': /filter/i,
    'small-filter': /filter/i,
    'protein-skimmer': /skimmer/i,
    'ozone-generator': /ozone/i,
    heater: /heater/i,
    light: /light/i,
    chiller: /chiller/i,
    'auto-top-up': /top-up/i,
    'carbon-dioxide-set': /CO2|valve shut/i,
    'dosing-pump': /dosing/i,
    'lime-water-stirrer': /lime water/i,
  }
  test('nothing is booked as off that the step does not name', () => {
    for (const family of faultFamilies)
      for (const { at, text, off } of offOf(family))
        if (!/^All plugs out/.test(text))
          for (const slug of off) expect(text, `${family.slug}/${at} books ${slug}`).toMatch(SAYS[slug] ?? /^$/)
  })
  test('all plugs out: all that the restart order knows, but for the feed pause', () => {
    const allOut = findFamily('residual-current-tripped')?.setUps.find(({ slug }) => slug === 'all-out')
    expect([...(allOut?.switchesOff ?? [])].sort()).toEqual(
      SWITCHABLE.map(({ slug }) => slug)
        .filter((slug) => slug !== 'feed-pause')
        .sort(),
    )
  })
  test('whoever is told to switch a named device off has it booked', () => {
    // Conditional words ("white after dosing: …") book nothing: the answer that makes them true does.
    const TOLD: readonly [RegExp, string][] = [
      [/(?:^|and )top-up off/i, 'auto-top-up'],
      [/^return off now/i, 'return-pump'],
      [/^heater (?:plug out|off|and top-up off)/i, 'heater'],
      [/^dosing and lime water off/i, 'dosing-pump'],
      [/^valve shut|CO2.*shut its valve/i, 'carbon-dioxide-set'],
      [/^skimmer plug out/i, 'protein-skimmer'],
      [/lights off/i, 'light'],
    ]
    const told = new Set<string>()
    for (const family of faultFamilies)
      for (const { at, text, off } of offOf(family))
        for (const [words, slug] of TOLD)
          if (words.test(text)) {
            told.add(slug)
            expect(off, `${family.slug}/${at}`).toContain(slug)
          }
    expect(told.size).toBe(TOLD.length)
  })
})
