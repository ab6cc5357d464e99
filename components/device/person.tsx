'use client'

import { createContext, type ReactNode, useContext, useEffect } from 'react'
import type { Person } from './database'
import { pruneDrafts } from './drafts'

const PersonContext = createContext<Person | null>(null)

/** Hands business and person down to every form inside; stands once, around each frame. */
export function OnThisDevice({ businessId, personId, children }: Person & { children: ReactNode }) {
  useEffect(() => void pruneDrafts(), [])
  return <PersonContext value={{ businessId, personId }}>{children}</PersonContext>
}

/** For whom this page was made; null before anybody has signed in. */
export function usePerson(): Person | null {
  return useContext(PersonContext)
}
