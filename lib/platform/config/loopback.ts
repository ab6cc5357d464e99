/**
 * Whether only this machine can reach us: the address we listen on and the one people are told are both loopback, and no
 * proxy is declared that would let others in.
 */
export function isLoopbackOnly(listening: { host: string; publicAddress: string; trustedProxy?: string }): boolean {
  const { host, publicAddress, trustedProxy = '' } = listening
  if (trustedProxy.trim() !== '' || !URL.canParse(publicAddress)) return false
  return isLoopback(host) && isLoopback(new URL(publicAddress).hostname)
}

// RFC 1122 3.2.1.3 (127.0.0.0/8), RFC 4291 2.5.3 (::1), RFC 6761 6.3 (localhost and what stands below it).
function isLoopback(host: string): boolean {
  const plain = host.toLowerCase().replace(/^\[|\]$/g, '')
  return /^127(?:\.\d{1,3}){3}$/.test(plain) || plain === '::1' || plain === 'localhost' || plain.endsWith('.localhost')
}
