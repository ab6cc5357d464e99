import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import path from 'node:path'
import { hasCertificate } from '@/lib/platform/config/certificate'
import { dataFolder, makeDataFolder } from '@/lib/platform/config/data-folder'
import { OperatorError } from '@/lib/platform/config/operator-error'

/** Where the web server listens, and the address people are told, out of HOST, PORT and NEXTAUTH_URL. */
export type PlaceOfServer = { host: string; port: number; publicAddress: string; trustedProxy: string }

/** Errors: OperatorError where PORT is no port, NEXTAUTH_URL no address, or one that does not go with the certificate. */
export function placeOfServer(): PlaceOfServer {
  const host = process.env.HOST?.trim() || '127.0.0.1'
  const port = Number(process.env.PORT || 3000)
  if (!Number.isInteger(port) || port < 1 || port > 65_535)
    throw new OperatorError('PORT must be a number from 1 to 65535.')
  const publicAddress = (
    process.env.NEXTAUTH_URL?.trim() || `http${hasCertificate() ? 's' : ''}://localhost:${port}`
  ).replace(/\/+$/, '')
  if (!/^https?:\/\//.test(publicAddress) || !URL.canParse(publicAddress))
    throw new OperatorError('NEXTAUTH_URL must be the address people use, like https://round.example.')
  if (hasCertificate() && !publicAddress.startsWith('https:'))
    throw new OperatorError('With a certificate people use https: NEXTAUTH_URL must begin with https.')
  return { host, port, publicAddress, trustedProxy: process.env.TANKROUND_TRUSTED_PROXY?.trim() ?? '' }
}

const addressFile = () => path.join(dataFolder(), 'address')

/** Keeps the address people are told, for command lines that run beside the server or after it. */
export function rememberAddress(publicAddress: string): void {
  makeDataFolder()
  writeFileSync(addressFile(), `${publicAddress}\n`)
}

/** The address for a link: by the settings of this call where they name one, else the one told at the last start here. */
export function addressForLinks(): string {
  const { publicAddress } = placeOfServer()
  if (process.env.NEXTAUTH_URL?.trim() || process.env.PORT || !existsSync(addressFile())) return publicAddress
  return readFileSync(addressFile(), 'utf8').trim() || publicAddress
}
