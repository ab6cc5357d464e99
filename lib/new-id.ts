import { v7 } from 'uuid'

/** A fresh UUIDv7: sorts by the time it was made; made on the phone and on the server alike. */
export function newId(): string {
  return v7()
}
