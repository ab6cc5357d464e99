import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:net'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest'
import { addressForLinks, rememberAddress } from '@/lib/entry/place-of-server'
import { makeDataFolder } from '@/lib/platform/config/data-folder'
import { freePort, portProblem } from '@/lib/platform/config/free-port'
import { operatorMessage } from '@/lib/platform/config/operator-error'

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'at-the-terminal-'))
  for (const setting of ['NEXTAUTH_URL', 'PORT', 'HOST']) vi.stubEnv(setting, undefined)
  vi.stubEnv('TANKROUND_DATA', path.join(folder, 'data'))
})
afterEach(() => {
  vi.unstubAllEnvs()
  rmSync(folder, { recursive: true, force: true })
})

describe('where nobody can listen, the words say why', () => {
  test('a port that is free is no problem', async () => {
    expect(await portProblem(await freePort(), '127.0.0.1')).toBeNull()
  })
  test('a port that is taken', async () => {
    const server = createServer().listen(0, '127.0.0.1')
    await new Promise((resolve) => server.once('listening', resolve))
    const address = server.address()
    const port = typeof address === 'object' && address ? address.port : 0
    expect(await portProblem(port, '127.0.0.1')).toContain(`Port ${port} is taken`)
    server.close()
  })
  // 192.0.2.0/24 and .invalid are nobody's: RFC 5737 and RFC 2606. The last address of the block is none of a test machine's.
  test.each(['192.0.2.254', 'nobody.invalid'])('HOST=%s, which is not of this machine', async (host) => {
    const words = await portProblem(await freePort(), host)
    expect(words).toContain(host)
    expect(words).toMatch(/^HOST must be/)
    expect(words).not.toContain('taken')
  })
})

test('a data folder that is a file is told in words', () => {
  const file = path.join(folder, 'data')
  writeFileSync(file, 'no folder')
  const caught = (() => {
    try {
      makeDataFolder()
      return null
    } catch (error) {
      return error
    }
  })()
  expect(operatorMessage(caught)).toContain(`${file} is no folder`)
})

describe('a link that a command line prints', () => {
  test('has the address that was told at the last start, in a terminal where nothing is set', () => {
    expect(addressForLinks()).toBe('http://localhost:3000')
    rememberAddress('https://round.example')
    expect(addressForLinks()).toBe('https://round.example')
  })
  test('or the one that this call names', () => {
    rememberAddress('https://round.example')
    vi.stubEnv('PORT', '4000')
    expect(addressForLinks()).toBe('http://localhost:4000')
    vi.stubEnv('NEXTAUTH_URL', 'https://other.example')
    expect(addressForLinks()).toBe('https://other.example')
  })
})
