import { createServer } from 'node:http'
import type { Server as TlsServer } from 'node:https'
import next from 'next'
import { IMPORT_FORM_MOST_BYTES, IMPORT_WORDS } from '@/lib/office/old-records/schema'
import { PHOTO_FORM_MOST_BYTES, PHOTO_WORDS } from '@/lib/office/photos/schema'
import { LOGO_FORM_MOST_BYTES, LOGO_WORDS } from '@/lib/office/settings/schema'
import { sessionIdOf } from '@/lib/platform/auth/session-token'
import { readCertificate } from '@/lib/platform/config/certificate'
import { checkoutFolder } from '@/lib/platform/config/data-folder'
import { OperatorError } from '@/lib/platform/config/operator-error'
import { sessionCookieName, usesHttps } from '@/lib/platform/config/public-address'
import { ownNames, trustedProxies } from '@/lib/platform/web/address'
import type { UploadRoute } from '@/lib/platform/web/body-limit'
import { frontServer } from '@/lib/platform/web/front-server'
import { placeOfServer } from './place-of-server'
import { runCommand, untilInterrupted } from './run-command'

const UPLOADS: readonly UploadRoute[] = [
  { path: '/api/photos', mostBytes: PHOTO_FORM_MOST_BYTES, ...PHOTO_WORDS },
  { path: '/api/logo', mostBytes: LOGO_FORM_MOST_BYTES, ...LOGO_WORDS },
  { path: '/api/imports/look', mostBytes: IMPORT_FORM_MOST_BYTES, ...IMPORT_WORDS },
  { path: '/api/imports/bring', mostBytes: IMPORT_FORM_MOST_BYTES, ...IMPORT_WORDS },
]

/** The web server: our own in front, the screens behind it. Until it is asked to end or its parent is gone. */
await runCommand(async () => {
  process.env.TANKROUND_SERVER_IN_FRONT = '1' // the screens believe the address that it tells
  const { host: hostname, port, publicAddress, trustedProxy } = placeOfServer()
  // Next listens for connections that want to become something else, which we have none of; on ours they would stay open for ever.
  const httpServer = createServer()
  const screens = next({ dev: false, dir: checkoutFolder(), hostname, port, httpServer })
  await screens.prepare()
  const certificate = readCertificate()
  const server = frontServer({
    handle: screens.getRequestHandler(),
    isTrusted: declaredProxies(trustedProxy),
    isOwnName: ownNames(publicAddress),
    isHttps: usesHttps(),
    certificate,
    sessionCookie: sessionCookieName(),
    isSession: async (value) => (await sessionIdOf(value)) !== null,
    uploads: UPLOADS,
    onError: (error) => console.error(error),
  })
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject)
    server.listen(port, hostname, resolve)
  })
  if (certificate && 'setSecureContext' in server) setInterval(() => renew(server), RENEWED_MS).unref()
  await untilInterrupted()
  const closed = new Promise((resolve) => server.close(resolve))
  server.closeIdleConnections()
  setTimeout(() => server.closeAllConnections(), 5_000).unref()
  await closed
  await screens.close()
  process.exit(process.exitCode ?? 0) // pools of the screens would keep us
})

/** Certificates are renewed every few weeks, and nobody starts the program anew for it. */
const RENEWED_MS = 6 * 3_600_000

function renew(server: Pick<TlsServer, 'setSecureContext'>): void {
  try {
    const certificate = readCertificate()
    if (certificate) server.setSecureContext(certificate)
  } catch (error) {
    console.error(error) // the one before goes on
  }
}

function declaredProxies(list: string): (address: string) => boolean {
  try {
    return trustedProxies(list)
  } catch (error) {
    if (error instanceof RangeError) throw new OperatorError(`TANKROUND_TRUSTED_PROXY: ${error.message}.`)
    throw error
  }
}
