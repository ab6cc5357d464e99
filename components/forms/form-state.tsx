'use client'

import { createContext, useContext } from 'react'

/** How the form around a button stands. Outside our forms, in those that ask by address, a button is always ready. */
const State = createContext({ isReady: true, isBusy: false })

export const FormState = State.Provider

export function useFormState(): { isReady: boolean; isBusy: boolean } {
  return useContext(State)
}
