import { renderToStaticMarkup } from 'react-dom/server'
import { describe, expect, test } from 'vitest'
import { Refusal } from '@/components/forms/refusal'
import { LongWords, shortened } from '@/components/today/long-words'
import { Cautions } from '@/components/visits/cautions'
import { withList } from '@/lib/office/frame/result'

const LONG = `The big fish hides behind the rock all day. ${'It does not eat and breathes fast. '.repeat(20)}`.trim()

describe('what a client wrote, on Today', () => {
  test('stands whole where it is short', () => {
    const html = renderToStaticMarkup(<LongWords words="The heater hums." href="/plan/requests" />)
    expect(html).toBe('“The heater hums.”')
  })
  test('is cut at a word where it is long, with a link to the whole', () => {
    const html = renderToStaticMarkup(<LongWords words={LONG} href="/plan/requests" />)
    expect(html).toContain('href="/plan/requests"')
    expect(html).not.toContain(LONG)
    const short = shortened(LONG)
    expect(short.length).toBeLessThanOrEqual(160)
    expect(LONG.startsWith(short)).toBe(true)
    expect(LONG.charAt(short.length)).toMatch(/[\s.]/)
  })
  test('is cut also where there is no space', () => expect(shortened('a'.repeat(500))).toBe('a'.repeat(160)))
})

describe('cautions of one step', () => {
  test('stand each by itself, and whose word goes first stands once', () => {
    const html = renderToStaticMarkup(<Cautions texts={['Plug out.', 'Gloves.']} local="Local codes go first." />)
    expect(html.match(/role="note"/g)).toHaveLength(2)
    expect(html.match(/Local codes go first\./g)).toHaveLength(1)
    expect(html.indexOf('Local codes')).toBeGreaterThan(html.indexOf('Gloves.'))
  })
  test('are nothing where there is none', () =>
    expect(renderToStaticMarkup(<Cautions texts={[]} local="Local codes go first." />)).toBe(''))
})

describe('a refusal', () => {
  const said = (words: string) => renderToStaticMarkup(<Refusal refused={{ ok: false, reason: 'off', words }} />)
  test('with several reasons is a list that is read out at once', () => {
    const html = said(withList('Before you leave:', ['Pump is off.', 'Heater is off.'], 'Say why.'))
    expect(html).toMatch(/^<div class="problem" role="alert">/)
    expect(html).toContain('<ul><li>Pump is off.</li><li>Heater is off.</li></ul>')
    expect(html).toContain('Say why.')
  })
  test('with one is its words; with problems beside the fields alone it is not there', () => {
    expect(said('This visit is over.')).not.toContain('<ul>')
    expect(renderToStaticMarkup(<Refusal refused={{ ok: false, reason: 'invalid', fields: {} }} />)).toBe('')
  })
})
