import 'server-only'
import { createHmac } from 'node:crypto'
import { installationSecret } from '@/lib/platform/config/public-address'

/**
 * A name for something that must not be written down itself: an e-mail address, a network address. Keyed with the secret
 * of this installation, so that nobody without it can try out all addresses. Nothing stays nothing.
 */
export function keyedHash(kind: 'address' | 'account', value: string): string {
  if (value === '') return ''
  return createHmac('sha256', installationSecret()).update(`${kind}\0${value}`).digest('base64url').slice(0, 22)
}
