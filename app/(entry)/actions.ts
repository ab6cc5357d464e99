'use server'
import { redirect } from 'next/navigation'
import { dropSession } from '@/lib/platform/auth/session-cookie'

/** Ends the session on this device. */
export async function signOutAction(): Promise<void> {
  await dropSession()
  redirect('/sign-in')
}
