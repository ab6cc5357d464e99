import 'server-only'
import { headers } from 'next/headers'
import { addressOfRequest } from '@/lib/platform/web/address'
import { deviceInWords } from './device-words'

/** Where a request comes from: the network address, and the device in words. */
export type Visitor = { address: string; device: string }

/** The visitor behind this request. Only inside a request. */
export async function currentVisitor(): Promise<Visitor> {
  const sent = await headers()
  return { address: addressOfRequest(sent), device: deviceInWords(sent.get('user-agent') ?? '') }
}

/** The path and query of the page this request is for, as our own proxy notes it; the first page where it did not pass there. */
export async function currentPath(): Promise<string> {
  return (await headers()).get('x-tankround-path') ?? '/'
}
