// The order is common practice, no source: return, level steady, skimmer 5 to 10 minutes later, UV and chiller once flow is
// proven, heater only when covered, dosing, top-up last.
import { describe, expect, test } from 'vitest'
import { leavingCheck, leavingProblems, SWITCHABLE } from '@/lib/trade'

const EXPECTED = ['return-pump', 'protein-skimmer', 'uv-steriliser', 'chiller', 'heater', 'dosing-pump', 'auto-top-up']
const switches = (off: string[]) => leavingCheck(off).filter((item) => item.kind === 'switch')

describe('leaving check', () => {
  test('follows the restart order, however things were switched off', () => {
    expect(switches([...EXPECTED].reverse()).map((item) => item.slug)).toEqual(EXPECTED)
  })
  test('is built from what was switched off and nothing else', () => {
    expect(switches(['heater', 'return-pump', 'heater']).map((item) => item.slug)).toEqual(['return-pump', 'heater'])
  })
  test('nothing was off: nothing is asked', () => expect(leavingCheck([])).toEqual([]))
  test('something was off: sockets, drip loops, lids and one photo follow at the end', () => {
    const slugs = leavingCheck(['heater']).map((item) => item.slug)
    for (const name of ['sockets-dry', 'drip-loops', 'lids', 'cabinet-photo']) expect(slugs).toContain(`check/${name}`)
    expect(slugs.at(-1)).toBe('check/cabinet-photo')
    expect(slugs[0]).toBe('heater')
  })
  test('the skimmer waits at least five minutes', () => {
    expect(switches(['protein-skimmer'])[0]?.waitMinutes).toBeGreaterThanOrEqual(5)
  })
  test('the top-up is last, also after a device that the trade does not know', () => {
    const all = [...SWITCHABLE.map((item) => item.slug), 'wave-maker-of-the-house']
    expect(switches(all).at(-1)?.slug).toBe('auto-top-up')
    expect(switches(all)).toHaveLength(all.length)
  })
})

describe('leaving problems', () => {
  test('all on in order: none', () => expect(leavingProblems(EXPECTED, EXPECTED)).toEqual([]))
  test('what is still off is named', () => {
    expect(leavingProblems(['return-pump', 'heater'], ['return-pump'])).toMatchObject([
      { slug: 'heater', kind: 'still-off' },
    ])
  })
  test('a top-up switched on before the rest is named', () => {
    expect(leavingProblems(['return-pump', 'auto-top-up'], ['auto-top-up', 'return-pump'])).toMatchObject([
      { slug: 'auto-top-up', kind: 'too-early' },
    ])
  })
  test('a heater before the return pump is named; devices that were never off are ignored', () => {
    expect(leavingProblems(['heater', 'return-pump'], ['light', 'heater', 'return-pump'])).toMatchObject([
      { slug: 'heater', kind: 'too-early' },
    ])
  })
})
