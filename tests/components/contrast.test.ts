import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'

// WCAG 2.2: relative luminance and contrast ratio as defined there; 1.4.3 asks 4.5:1 of text, 1.4.11 asks 3:1 of shapes and control edges.
const css = readFileSync(new URL('../../app/tokens.css', import.meta.url), 'utf8')

function palette(selector: string): Record<string, string> {
  const start = css.indexOf(selector)
  if (start < 0) throw new Error(`no ${selector} in tokens.css`)
  const block = css.slice(start, css.indexOf('}', start))
  return Object.fromEntries(
    [...block.matchAll(/--([a-z0-9-]+):\s*(#[0-9a-f]{6})/g)].map(([, name, hex]) => [name, hex]),
  )
}

function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const channel = Number.parseInt(hex.slice(at, at + 2), 16) / 255
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4
  })
  return 0.2126 * r + 0.7152 * g + 0.0722 * b
}

function contrast(one: string, other: string): number {
  const [light = 0, dark = 0] = [luminance(one), luminance(other)].sort((a, b) => b - a)
  return (light + 0.05) / (dark + 0.05)
}

test('the ratio is that of WCAG: 21 for black on white, 4.48 for #777777 on white', () => {
  // WebAIM's article on contrast names #777777 on white as just failing with 4.47 (they cut, we round).
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10)
  expect(contrast('#777777', '#ffffff')).toBeCloseTo(4.478, 3)
})

const TEXT = ['ink', 'soft', 'call', 'ok'] as const
const SHAPES = ['band', 'edge', 'call', 'ink'] as const
const GROUNDS = ['paper', 'sheet', 'wash'] as const
const THEMES = [
  ['light', ':root {'],
  ['dark by the system', ":root:not([data-theme='light'])"],
  ['dark by choice', ":root[data-theme='dark']"],
] as const

describe.each(THEMES)('%s', (_, selector) => {
  const colours = palette(css.includes(selector) ? selector : selector.replaceAll("'", '"'))
  const colour = (name: string) => {
    const hex = colours[name]
    if (hex === undefined) throw new Error(`no --${name}`)
    return hex
  }
  test.each(TEXT.flatMap((text) => GROUNDS.map((ground) => [text, ground] as const)))(
    'text %s on %s',
    (text, ground) => {
      expect(contrast(colour(text), colour(ground))).toBeGreaterThanOrEqual(4.5)
    },
  )
  test.each(SHAPES.flatMap((shape) => (['paper', 'sheet'] as const).map((ground) => [shape, ground] as const)))(
    'shape %s on %s',
    (shape, ground) => {
      expect(contrast(colour(shape), colour(ground))).toBeGreaterThanOrEqual(3)
    },
  )
  test('words on a filled button', () => {
    expect(contrast(colour('paper'), colour('ink'))).toBeGreaterThanOrEqual(4.5)
  })
})

test('both ways into the dark lead to the same colours', () => {
  const [, bySystem, byChoice] = THEMES.map(([, selector]) =>
    palette(css.includes(selector) ? selector : selector.replaceAll("'", '"')),
  )
  expect(bySystem).toEqual(byChoice)
})
