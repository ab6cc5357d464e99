import { beforeEach, describe, expect, test, vi } from 'vitest'
import { z } from 'zod'
import { actionListed, defineAction } from '@/lib/office/frame/action'
import { done, refused, SIGNED_OUT } from '@/lib/office/frame/result'
import { log } from '@/lib/platform/logging/log'

const REQUEST_ID = 'b7f0a0a4-6d0f-4c2c-9d38-3f6f0c1f5b11'
const shown: string[] = []
vi.mock('next/cache', () => ({ revalidatePath: (path: string) => void shown.push(path) }))
vi.mock('next/headers', () => ({ headers: async () => new Headers({ 'x-request-id': REQUEST_ID }) }))

const schema = z.object({ name: z.string().min(1, 'Write a name.'), password: z.string().default('') })
const definition = {
  may: 'anybody' as const,
  admit: async () => ({ ok: true as const, who: 'Nora' }),
  schema,
  command: async (who: string, { name }: z.output<typeof schema>) => done({ greeting: `${who} to ${name}` }),
  shows: ['/people', '/today'],
  said: ({ greeting }: { greeting: string }) => `Said: ${greeting}`,
  next: '/people',
}

function form(fields: Record<string, string>): FormData {
  const data = new FormData()
  for (const [name, value] of Object.entries(fields)) data.append(name, value)
  return data
}

beforeEach(() => void shown.splice(0))

describe('an action', () => {
  const action = defineAction(definition)

  test('takes a form or an object, runs its one command, and says what to show', async () => {
    const answer = { ok: true, value: { greeting: 'Nora to Wren' }, said: 'Said: Nora to Wren', next: '/people' }
    expect(await action(form({ name: 'Wren', $ACTION_ID: 'x' }))).toEqual(answer)
    expect(await action({ name: 'Wren' })).toEqual(answer)
    expect(shown).toEqual(['/people', '/today', '/people', '/today'])
  })

  test('refuses what is no form in words, and shows nothing anew', async () => {
    for (const odd of [undefined, null, 5, 'name=Wren', true, [], [form({ name: 'Wren' })], () => 'Wren', 10n])
      expect(await action(odd)).toMatchObject({
        ok: false,
        reason: 'invalid',
        words: expect.stringContaining('out of date'),
      })
    expect(await action()).toMatchObject({ ok: false, reason: 'invalid' })
    expect(shown).toEqual([])
  })

  test('names the field, by its whole path', async () => {
    expect(await action(form({}))).toMatchObject({
      ok: false,
      reason: 'invalid',
      fields: { name: [expect.any(String)] },
    })
    const lines = defineAction({
      ...definition,
      schema: z.object({ lines: z.array(z.object({ quantity: z.string().min(1, 'How many?') })) }),
      command: async () => done({ greeting: '' }),
    })
    const answer = await lines({ lines: [{ quantity: '1' }, { quantity: '' }] })
    expect(answer).toMatchObject({ fields: { 'lines.1.quantity': ['How many?'] } })
  })

  test('asks who it is before anything else', async () => {
    const command = vi.fn(definition.command)
    const closed = defineAction({ ...definition, command, admit: async () => SIGNED_OUT })
    expect(await closed(null)).toEqual(SIGNED_OUT)
    expect(await closed(form({ name: 'Wren' }))).toEqual(SIGNED_OUT)
    expect(command).not.toHaveBeenCalled()
  })

  test('hands a refusal on as it is', async () => {
    const no = refused('overlap', 'Priya is elsewhere then.')
    expect(await defineAction({ ...definition, command: async () => no })(form({ name: 'Wren' }))).toEqual(no)
    expect(shown).toEqual([])
  })

  test('apologises for what nobody foresaw with the number in the log, where it stands once', async () => {
    const error = vi.spyOn(log, 'error').mockImplementation(() => undefined)
    const broken = defineAction({
      ...definition,
      command: async (): Promise<never> => {
        throw new Error('the disk is full')
      },
    })
    const answer = await broken(form({ name: 'Wren' }))
    expect(answer).toMatchObject({ ok: false, reason: 'fault', words: expect.stringContaining(REQUEST_ID) })
    expect(JSON.stringify(answer)).not.toContain('disk')
    expect(error).toHaveBeenCalledTimes(1)
    expect(error.mock.calls[0]?.[0]).toMatchObject({ requestId: REQUEST_ID, err: { message: 'the disk is full' } })
    error.mockRestore()
  })
})

describe('a form that is posted before scripts have come', () => {
  const before = null

  test('is led on by the server', async () => {
    // Next throws what leads to another page; the address stands in its digest.
    const led = defineAction(definition)(before, form({ name: 'Wren' }))
    await expect(led).rejects.toMatchObject({ digest: expect.stringContaining(';/people;') })
  })

  test('gets back what was typed, but no password', async () => {
    const answer = await defineAction(definition)(before, form({ name: '', password: 'sea urchin' }))
    expect(answer).toMatchObject({ ok: false, typed: { name: '' } })
    expect(JSON.stringify(answer)).not.toContain('urchin')
  })
})

test('what an action takes and whom it lets in can be listed; another function is no action', async () => {
  expect(actionListed(defineAction(definition))).toMatchObject({ may: 'anybody', schema })
  expect(actionListed(async () => ({ ok: true, value: null }))).toBeNull()
})
