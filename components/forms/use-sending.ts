'use client'

import { usePathname, useRouter } from 'next/navigation'
import { useEffect, useLayoutEffect, useRef, useState, useTransition } from 'react'
import { draftKey, dropDraft, keepDraft, readDraft } from '@/components/device/drafts'
import { usePerson } from '@/components/device/person'
import { newId } from '@/lib/new-id'
import { OTHER_CONTENT } from '@/lib/office/frame/result'
import type { Answer, FormAction } from '@/lib/office/frame/schema'

/** Where a form's words are: in the controls of the page, or in rows of fields. */
export type Source = {
  /** What is sent, without the envelope. */
  read: (submitter: HTMLElement | null) => FormData | Record<string, unknown>
  /** What was typed and may be kept, as JSON has it; null when nothing was. */
  typed: () => unknown
  /** Puts back what `typed` gave. */
  fill: (typed: unknown) => void
  /** Back to what the page says: what was typed is thrown away. */
  clear: () => void
  /** What was typed is what holds now. */
  settle: () => void
  /** The words are held beside the controls, which show them again by themselves: nothing need be filled in anew. */
  keepsItsWords?: boolean
}

/** Where what was typed stands: nothing was, on the page only, on this device too, or there from an earlier time. */
export type Unsent = 'nothing' | 'here' | 'kept' | 'earlier'

/** A server that says nothing for so long is not waited for any more. */
const ANSWER_MS = 25_000

const NO_SIGNAL = 'No signal: this was not sent. Press again when there is.'
const NO_ANSWER = 'The server could not be reached. Press again in a minute: nothing is saved twice.'
const TOO_SLOW = 'No answer yet. Reload the page and press again: nothing is saved twice.'

type Options<Value> = {
  form: string
  about: string
  action: FormAction<Value>
  source: Source
  /** What was typed at another time stands in the form again. */
  broughtBack: () => void
  sent: (answer: Extract<Answer<Value>, { ok: true }>) => void
}

/**
 * The one way in which a form of ours is sent. What was typed is kept on the device under business, person, page and form as
 * one types, with the id of the command that it will be, and stays there until the server has said that it is saved: through a
 * cut network, a server that is down, a session that has ended, a reload, the back button, another form of the page.
 */
export function useSending<Value>({ form, about, action, source, broughtBack, sent }: Options<Value>) {
  const person = usePerson()
  const page = usePathname()
  const router = useRouter()
  const key = person && page !== null ? draftKey(person, page, form, about) : null
  const [isReady, setReady] = useState(false)
  const [isSending, setSending] = useState(false)
  const [isMoving, move] = useTransition()
  const [unsent, setUnsent] = useState<Unsent>('nothing')
  const [answer, setAnswer] = useState<Answer<Value> | null>(null)
  const [tries, setTries] = useState(0)
  const commandId = useRef('')
  const draft = useRef<unknown>(null)
  const now = useRef({ source, broughtBack, isBusy: false, isReady: false })
  Object.assign(now.current, { source, broughtBack })

  useEffect(() => {
    let isGone = false
    /** Whether what was kept stands in the form again. */
    async function bringBack(from: string): Promise<boolean> {
      const kept = await readDraft(from)
      if (isGone || !kept) return false
      commandId.current = kept.commandId
      const typed: unknown = JSON.parse(kept.typed)
      // What was typed before the page was ready is newer than what was kept.
      if (typed === null || now.current.source.typed() !== null) return false
      draft.current = typed
      now.current.source.fill(typed)
      setUnsent('earlier')
      now.current.broughtBack()
      return true
    }
    const begin = (isBack: boolean) => {
      if (isGone) return
      now.current.isReady = true
      setReady(true)
      // Controls that appear because of what was brought back are not there yet: noted now, their words would be lost.
      if (!isBack) noteNow.current()
    }
    void (key === null ? Promise.resolve(false) : bringBack(key)).then(begin, () => begin(false))
    return () => {
      isGone = true
      now.current.isReady = false
    }
  }, [key])

  // Controls that the page has made anew, or that appear because of another answer, get their words again.
  useLayoutEffect(() => {
    const { keepsItsWords, fill } = now.current.source
    if (draft.current !== null && !keepsItsWords) fill(draft.current)
  })

  function keep(): void {
    if (key === null || person === null) return
    commandId.current ||= newId()
    const stored = {
      ...person,
      key,
      commandId: commandId.current,
      typed: JSON.stringify(draft.current),
      at: Date.now(),
    }
    void keepDraft(stored).then((outlives) => outlives && setUnsent((was) => (was === 'here' ? 'kept' : was)))
  }

  /** Something was typed. */
  function note(): void {
    // What was kept comes first: nothing may be written over it unseen.
    if (!now.current.isReady) return
    const typed = now.current.source.typed()
    if (typed === null && draft.current === null) return
    draft.current = typed
    setUnsent((was) => (typed === null ? 'nothing' : was === 'nothing' ? 'here' : was))
    if (typed !== null) keep()
    else if (key !== null) void dropDraft(key)
  }
  const noteNow = useRef(note)
  noteNow.current = note

  function takeNewId(): void {
    commandId.current = ''
    if (draft.current !== null) keep()
    else if (key !== null) void dropDraft(key)
  }

  /** What was typed is thrown away, or was sent. */
  function forget(): void {
    draft.current = null
    commandId.current = ''
    if (key !== null) void dropDraft(key)
    setUnsent('nothing')
  }

  function discard(): void {
    forget()
    setAnswer(null)
    source.clear()
  }

  async function send(submitter: HTMLElement | null): Promise<void> {
    if (now.current.isBusy) return
    now.current.isBusy = true
    setSending(true)
    commandId.current ||= newId()
    const mine = commandId.current
    const data = source.read(submitter)
    const went = JSON.stringify(source.typed())
    const envelope = { commandId: mine, ...(person && { businessId: person.businessId, typedBy: person.personId }) }
    keep()
    const answering = action(withEnvelope(data, envelope))
    const late = new Promise<'late'>((resolve) => setTimeout(() => resolve('late'), ANSWER_MS))
    const got = await Promise.race([answering.catch(lost<Value>), late])
    now.current.isBusy = false
    setSending(false)
    // Another press of the same entry was answered meanwhile: what stands here now is the next one.
    const isAnswered = () => commandId.current !== mine
    if (got === 'late') {
      settle({ ok: false, reason: 'no-answer', words: TOO_SLOW }, went)
      // It may still come; then it counts.
      void answering.then((answer) => answer.ok && !isAnswered() && settle(answer, went)).catch(() => undefined)
    } else if (!isAnswered()) settle(got, went)
  }

  /** `went` is what had been typed when it was sent: what was typed since is not sent yet. */
  function settle(got: Answer<Value>, went: string): void {
    setAnswer(got)
    setTries((count) => count + 1)
    if (!got.ok) {
      // The words say what was kept under this id. Pressed again it is another entry, after a reload too.
      if (got.reason === OTHER_CONTENT) takeNewId()
      return
    }
    const typed = now.current.source.typed()
    forget()
    sent(got)
    if (typed !== null && JSON.stringify(typed) !== went) {
      draft.current = typed
      setUnsent('here')
      keep()
      return
    }
    const { next } = got
    if (next === undefined || next.split(/[?#]/)[0] === page) now.current.source.settle()
    if (next !== undefined) move(() => router.push(next))
  }

  return { isReady, isBusy: isSending || isMoving, unsent, answer, tries, note, send, discard }
}

function lost<Value>(error: unknown): Answer<Value> {
  const isOffline = !navigator.onLine || error instanceof TypeError // as `fetch` throws it where nothing answers
  return { ok: false, reason: 'no-answer', words: isOffline ? NO_SIGNAL : NO_ANSWER }
}

function withEnvelope(data: FormData | Record<string, unknown>, envelope: Readonly<Record<string, string>>) {
  if (!(data instanceof FormData)) return { ...data, ...envelope }
  for (const [name, value] of Object.entries(envelope)) data.set(name, value)
  return data
}
