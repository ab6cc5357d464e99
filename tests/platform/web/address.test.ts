import { describe, expect, test } from 'vitest'
import { callerAddress, networkOf, trustedProxies } from '@/lib/platform/web/address'

const NOBODY = trustedProxies('')

describe('who is calling', () => {
  test('without a declared proxy it is the socket, whatever the headers claim', () => {
    expect(callerAddress('192.0.2.7', '198.51.100.1, 203.0.113.9', NOBODY)).toBe('192.0.2.7')
    expect(callerAddress('::ffff:192.0.2.7', '198.51.100.1', NOBODY)).toBe('192.0.2.7')
    expect(callerAddress('127.0.0.1', '127.0.0.1', NOBODY)).toBe('127.0.0.1')
  })

  test('behind declared proxies it is the last hop that none of them is; what stands before is the caller’s own claim', () => {
    const trusted = trustedProxies('127.0.0.1, 10.0.0.0/8 2001:db8::/32')
    expect(callerAddress('127.0.0.1', 'spoofed, 198.51.100.1', trusted)).toBe('198.51.100.1')
    expect(callerAddress('10.1.2.3', '203.0.113.9, 198.51.100.1, 10.9.9.9', trusted)).toBe('198.51.100.1')
    expect(callerAddress('2001:db8::1', '2001:4860::1', trusted)).toBe('2001:4860::1')
    expect(callerAddress('192.0.2.7', '198.51.100.1', trusted)).toBe('192.0.2.7')
    expect(callerAddress('127.0.0.1', undefined, trusted)).toBe('127.0.0.1')
    expect(callerAddress('127.0.0.1', 'not an address', trusted)).toBe('127.0.0.1')
  })

  test('a list that names no address is refused, naming the part', () => {
    for (const wrong of ['proxy.example', '10.0.0.0/33', '10.0.0.0/x', '300.1.1.1', '::1/129'])
      expect(() => trustedProxies(`127.0.0.1, ${wrong}`)).toThrow(`"${wrong}" is no address`)
  })
})

test('tries are counted by an IPv4 address, and by the /64 of an IPv6 one, however it is spelt (RFC 4291 2.2)', () => {
  expect(networkOf('192.0.2.7')).toBe('192.0.2.7')
  expect(networkOf('unknown')).toBe('unknown')
  for (const address of ['2001:db8:1:2::1', '2001:db8:1:2:ffff:ffff:ffff:ffff', '2001:0db8:0001:0002:0:0:0:1'])
    expect(networkOf(address)).toBe('2001:db8:1:2::/64')
  expect(networkOf('::1')).toBe('0:0:0:0::/64')
  expect(networkOf('2001:db8::2:0:0:1')).toBe('2001:db8:0:0::/64')
  expect(networkOf('fe80::')).toBe('fe80:0:0:0::/64')
})
