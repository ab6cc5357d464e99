import { storedSecret } from './stored-secret'

/** Whether people reach us over HTTPS, by the address the operator gave; decides the cookie's `Secure` and its prefix. */
export function usesHttps(): boolean {
  return process.env.NEXTAUTH_URL?.startsWith('https://') ?? false
}

/** Name of the session cookie; over HTTPS the prefix makes browsers hold it to this host, to `/` and to HTTPS. */
export function sessionCookieName(): string {
  return `${usesHttps() ? '__Host-' : ''}tankround-session`
}

/** The secret of this installation, which signs sessions and keys hashes: as given, or made once and kept. */
export function installationSecret(): string {
  return process.env.NEXTAUTH_SECRET || storedSecret('secret')
}
