import 'server-only'
import { hash, verify } from '@node-rs/argon2'

// argon2id, 19 MiB, 2 passes: the first recommendation of the OWASP Password Storage Cheat Sheet. The library's default is argon2id.
const SETTINGS = { memoryCost: 19_456, timeCost: 2, parallelism: 1 }

/** Hash of a password, with its own salt and settings inside. */
export function hashPassword(password: string): Promise<string> {
  return hash(password, SETTINGS)
}

/** Whether the password belongs to the hash. */
export function verifyPassword(passwordHash: string, password: string): Promise<boolean> {
  return verify(passwordHash, password)
}
