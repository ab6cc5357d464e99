import { describe, expect, test } from 'vitest'
import { newId } from '@/lib/new-id'
import { formFields } from '@/lib/office/visits/form-fields'
import { formMessage, formMessages, type NamesAtVisit } from '@/lib/office/visits/form-problems'
import { sayingOf } from '@/lib/office/visits/read-form'
import { visitCommandSchema } from '@/lib/office/visits/schema'
import { askedBeforeWork } from '@/lib/office/visits/work-form'

const [heater, bucket] = [newId(), newId()]
const names: NamesAtVisit = {
  device: (id) => (id === heater ? 'Heater left' : undefined),
  container: (id) => (id === bucket ? 'Top-up water' : undefined),
  mode: (slug) => (slug === 'heater/stuck' ? 'Stuck on or off' : slug),
}
type Fields = [string, string][]
const formOf = (fields: Fields) => {
  const data = new FormData()
  for (const [name, value] of fields) data.append(name, value)
  return formFields(data)
}
const messages = (fields: Fields) => {
  const saying = sayingOf(formOf(fields))
  const envelope = { id: newId(), businessId: newId(), visitId: newId(), version: 1, deviceId: 'web', deviceSeq: 0 }
  const command = visitCommandSchema.safeParse({ ...saying, ...envelope, madeAt: '2026-11-26T09:30:00Z' })
  return formMessages(saying, command.error?.issues ?? [], names)
}
const at = (mode: string, field: string) => `look|${heater}|${mode}|${field}`

describe('why work was done', () => {
  const asked = (reason: string, known: object[], more: Fields = []) =>
    askedBeforeWork(
      formOf([
        ['kind', 'visit.work'],
        ['equipmentId', heater],
        ['task', 'heater/replace'],
        ['reason', reason],
        ['known', JSON.stringify(known)],
        ...more,
      ]),
    )

  test('in its turn or while it was out needs no look', () => {
    expect(asked('schedule', [])).toBeNull()
    expect(asked('while_out', [])).toBeNull()
  })
  test('found to need it wants the need, said before or in this form', () => {
    expect(asked('found', [])).toContain('Say first')
    expect(asked('found', [{ mode: 'heater/stuck', asFound: 'ok' }])).toContain('Say first')
    expect(asked('found', [{ mode: 'heater/stuck', asFound: 'failed' }])).toBeNull()
    const said: Fields = [
      [at('heater/stuck', 'asFound'), 'needs_it'],
      [at('heater/stuck', 'depth'), 'opened'],
    ]
    expect(asked('found', [], said)).toBeNull()
    expect(asked('found', [{ mode: 'heater/stuck', asFound: 'ok' }], said)).toBeNull()
  })
  test('found of things that were ticked wants the need of each of them', () => {
    const known = [{ mode: 'heater/stuck', asFound: 'failed' }]
    expect(asked('found', known, [['forModes', 'heater/reads-off']])).toContain('Say first')
    expect(asked('found', known, [['forModes', 'heater/stuck']])).toBeNull()
  })
  test('getting there wants a look', () => {
    expect(asked('condition', [])).toContain('how you found it')
    expect(asked('condition', [{ mode: 'heater/stuck', asFound: 'not_looked' }])).toContain('how you found it')
    expect(asked('condition', [{ mode: 'heater/stuck', asFound: 'ok' }])).toBeNull()
  })
})

describe('what is wrong with a form names what it is about', () => {
  test('a look without its depth: the device and the thing', () => {
    expect(
      messages([
        ['kind', 'visit.record-looks'],
        [at('heater/stuck', 'asFound'), 'ok'],
      ]),
    ).toEqual(['Heater left, Stuck on or off: How closely did you look?'])
  })
  test('work without a reason: the device and the task', () => {
    const saying: Fields = [
      ['kind', 'visit.work'],
      ['equipmentId', heater],
      ['task', 'heater/replace'],
    ]
    expect(messages(saying)).toEqual([expect.stringMatching(/^Heater left, .+: Why was it done\? Choose one\.$/)])
    expect(formMessage(sayingOf(formOf(saying)), 'Say first.', names)).toMatch(/^Heater left, .+: Say first\.$/)
  })
  test('a figure: what was measured, and on what; a level: the container', () => {
    expect(
      messages([
        ['kind', 'visit.readings'],
        ['value|pH', 'acid'],
        ['unit|pH', ''],
      ]),
    ).toEqual(['pH: A figure such as 8.2.'])
    expect(
      messages([
        ['kind', 'visit.device-readings'],
        [`device|${heater}|flow`, 'much'],
        [`unit|${heater}|flow`, 'L/h'],
      ])[0],
    ).toMatch(/^Heater left, .+: A figure such as/)
    expect(
      messages([
        ['kind', 'visit.levels'],
        [`before|${bucket}`, 'half'],
      ]),
    ).toEqual([expect.stringMatching(/^Top-up water: A level/)])
  })
  test('a form about nothing in particular: the message alone', () => {
    expect(messages([['kind', 'visit.readings']])).toEqual(['No figure is written yet.'])
    expect(messages([['kind', 'visit.suspect']])).toEqual(['What is it about? Choose one.'])
  })
})
