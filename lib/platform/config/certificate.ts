import { readFileSync } from 'node:fs'
import { createSecureContext } from 'node:tls'
import { OperatorError } from './operator-error'

/** A certificate with its key, both PEM: with them the program speaks HTTPS itself, and needs no proxy for it. */
export type Certificate = { cert: Buffer; key: Buffer }

/** Whether the operator named a certificate. */
export const hasCertificate = (): boolean => files() !== null

/** The certificate that the operator named, null where there is none. Errors: OperatorError where half of it is missing, or it cannot be read or used. */
export function readCertificate(): Certificate | null {
  const named = files()
  if (!named) return null
  try {
    const certificate = { cert: readFileSync(named.cert), key: readFileSync(named.key) }
    createSecureContext(certificate) // says so here, not at the first visitor, where the two do not belong together
    return certificate
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error)
    throw new OperatorError(
      `The certificate cannot be used: ${why}. TANKROUND_TLS_CERT and TANKROUND_TLS_KEY name two PEM files that belong together and that this user may read.`,
    )
  }
}

function files(): { cert: string; key: string } | null {
  const cert = process.env.TANKROUND_TLS_CERT?.trim() ?? ''
  const key = process.env.TANKROUND_TLS_KEY?.trim() ?? ''
  if (cert === '' && key === '') return null
  if (cert === '' || key === '')
    throw new OperatorError('Set both TANKROUND_TLS_CERT and TANKROUND_TLS_KEY, or neither.')
  return { cert, key }
}
