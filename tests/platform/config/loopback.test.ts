import { expect, test } from 'vitest'
import { isLoopbackOnly } from '@/lib/platform/config/loopback'

test('only where both the socket and the public address are this machine’s own, and no proxy is declared', () => {
  for (const host of ['127.0.0.1', '127.9.9.9', '::1', 'localhost'])
    for (const publicAddress of [
      'http://localhost:3000',
      'http://127.0.0.1:3000/',
      'http://[::1]:3000',
      'http://a.localhost',
    ])
      expect([host, publicAddress, isLoopbackOnly({ host, publicAddress })]).toEqual([host, publicAddress, true])
  const publicAddress = 'http://localhost:3000'
  for (const host of ['0.0.0.0', '::', '192.168.1.5', 'my-machine', '127.0.0.1.example', ''])
    expect([host, isLoopbackOnly({ host, publicAddress })]).toEqual([host, false])
  for (const outside of [
    'https://round.example',
    'http://192.168.1.5:3000',
    'http://localhost.example',
    'not an address',
  ])
    expect([outside, isLoopbackOnly({ host: '127.0.0.1', publicAddress: outside })]).toEqual([outside, false])
  expect(isLoopbackOnly({ host: '127.0.0.1', publicAddress, trustedProxy: '127.0.0.1' })).toBe(false)
})
