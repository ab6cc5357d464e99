import { BlockList, isIP } from 'node:net'

/** Under this name our own server in front tells the address of the socket or, behind a declared proxy, what that one says. */
export const ADDRESS_HEADER = 'x-tankround-address'

/**
 * The address a request came from. Only our own server in front can know it and says so; a program started without it
 * believes no header, and everybody counts as one.
 */
export function addressOfRequest(headers: { get: (name: string) => string | null }): string {
  const isOurs = process.env.TANKROUND_SERVER_IN_FRONT === '1'
  return (isOurs && headers.get(ADDRESS_HEADER)) || 'unknown'
}

/**
 * What tries are counted by. One household or phone holds a whole /64 of IPv6 (RFC 6177, from memory), so the half that it
 * may choose at will is left out.
 */
export function networkOf(address: string): string {
  if (isIP(address) !== 6) return address
  const [head = '', tail] = address.split('::')
  const front = head === '' ? [] : head.split(':')
  const back = tail ? tail.split(':') : []
  const gap = tail === undefined ? 0 : 8 - front.length - back.length
  const groups = [...front, ...Array<string>(Math.max(0, gap)).fill('0'), ...back]
  return `${groups
    .slice(0, 4)
    .map((group) => Number.parseInt(group, 16).toString(16))
    .join(':')}::/64`
}

/** An IPv4 address in its own spelling also where the socket speaks IPv6 (::ffff:192.0.2.1). */
export function plainAddress(address: string): string {
  return address.replace(/^::ffff:(?=\d+\.)/i, '').replace(/%.*$/, '')
}

/**
 * Proxies whose word is taken, out of a list of addresses and networks: `127.0.0.1, 10.0.0.0/8`.
 * Errors: RangeError naming the part that is neither.
 */
export function trustedProxies(list: string): (address: string) => boolean {
  const trusted = new BlockList()
  for (const part of list.split(/[\s,]+/).filter(Boolean)) {
    const [network = '', bits] = part.split('/')
    const family = isIP(network) === 6 ? 'ipv6' : 'ipv4'
    const most = family === 'ipv6' ? 128 : 32
    const length = bits === undefined ? most : Number(bits)
    if (isIP(network) === 0 || !Number.isInteger(length) || length < 0 || length > most)
      throw new RangeError(`"${part}" is no address and no network, like 10.0.0.0/8`)
    trusted.addSubnet(network, length, family)
  }
  return (address) => isIP(address) !== 0 && trusted.check(address, isIP(address) === 6 ? 'ipv6' : 'ipv4')
}

/**
 * The address of the caller: the socket's; behind a trusted proxy the last entry of `X-Forwarded-For` that no trusted proxy
 * wrote about itself. Entries before it are whatever the caller claims.
 */
export function callerAddress(
  socketAddress: string,
  forwardedFor: string | undefined,
  isTrusted: (address: string) => boolean,
): string {
  const socket = plainAddress(socketAddress)
  if (!isTrusted(socket)) return socket
  const hops = (forwardedFor ?? '').split(',').map((hop) => plainAddress(hop.trim()))
  return hops.findLast((hop) => isIP(hop) !== 0 && !isTrusted(hop)) ?? socket
}

/**
 * Whether a name that a caller gives us is one of ours: of the address people are told, or this machine by number or as localhost.
 * Any other name may have been made to lead here by the page that asks (DNS rebinding), and that page then counts as ours.
 */
export function ownNames(publicAddress: string): (host: string) => boolean {
  const told = new URL(publicAddress).hostname
  return (host) => {
    const address = `http://${host}`
    if (!URL.canParse(address)) return false
    const { hostname } = new URL(address)
    return hostname === told || hostname === 'localhost' || isIP(hostname.replace(/^\[|\]$/g, '')) !== 0
  }
}
