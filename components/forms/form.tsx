'use client'

import { Fragment, type ReactNode, useActionState, useId, useRef, useState } from 'react'
import type { FieldValues, Path, UseFormReturn } from 'react-hook-form'
import { ButtonLink, Notice } from '@/components/paper'
import type { Answer, FormAction } from '@/lib/office/frame/schema'
import { type TypedControls, typeAgain, typedInto } from './controls'
import { ErrorSummary } from './error-summary'
import { FormState } from './form-state'
import { Refusal } from './refusal'
import { SubmitButton } from './submit-button'
import { unsentBeside, unsentWords } from './unsent'
import { UnsentWords } from './unsent-words'
import { useRowsSource } from './use-rows-source'
import { type Source, useSending } from './use-sending'

/** What a field component needs of one field: `{...form.field('name')}`. */
export type FieldTies = {
  id: string
  name: string
  error: string | undefined
  defaultValue?: string
  defaultChecked?: boolean
}
/** Gives the ties of any of these fields; parts of a form ask for no more names than they have. */
export type FieldOf<Name extends string> = (name: Name) => FieldTies

/** The form as its fields see it. */
export type FormView<Value = unknown> = {
  field: FieldOf<string>
  /** What stands in a field now, for parts of the form that depend on it. */
  typed: (name: string) => string
  /** Why the last try was refused; blank when it was not. */
  refusal: string
  /** What the last try made. */
  made: Value | null
}

export type FormProps<Value = unknown, Row extends FieldValues = FieldValues> = {
  /** What kind of form this is, "client.add": for whoever counts forms, and for what is kept of it. */
  name: string
  action: FormAction<Value>
  /** Sent along unseen: what the form is about. Two forms of one name on a page differ in it, or in `about`. */
  hidden?: Readonly<Record<string, string>> | undefined
  about?: string
  /** What stands in the fields at first. */
  values?: Readonly<Record<string, string | boolean | null | undefined>>
  /** For rows of fields: what react-hook-form holds, instead of `values`. */
  rows?: UseFormReturn<Row>
  /** Names in `rows` that are not for the device: how to get into a house. */
  unkept?: readonly string[]
  /** What the button says; without it the fields bring their own. */
  submit?: ReactNode
  plain?: boolean
  big?: boolean
  pendingWords?: ReactNode
  /** The way out that changes nothing. */
  cancelHref?: string
  className?: string
  /** Posts itself before scripts have come; the others wait for them. */
  native?: boolean
  /** Leads to another page: says first what else stands on this one unsent. */
  leads?: boolean
  /** Before it is sent; words stop it. */
  before?: () => Promise<string | null>
  sent?: (value: Value) => void
  children?: ReactNode | ((form: FormView<Value>) => ReactNode)
}

/** Every form of ours. It loses nothing that was typed, sends it once, and says in words where it stands; see `useSending`. */
export function Form<Value = unknown, Row extends FieldValues = FieldValues>(props: FormProps<Value, Row>) {
  const about = props.about ?? Object.values(props.hidden ?? {}).join(' ')
  // About something else it is another form, with words of its own.
  return <FormAbout key={about} {...props} about={about} />
}

function FormAbout<Value, Row extends FieldValues>(props: FormProps<Value, Row> & { about: string }) {
  const { name, about, action, hidden = {}, values = {}, rows, submit, cancelHref, children, native = false } = props
  const element = useRef<HTMLFormElement>(null)
  const [round, setRound] = useState(0)
  const [stop, setStop] = useState<string | null>(null)
  const [watched, setWatched] = useState<Readonly<Record<string, string>>>({})
  const asked = useRef(new Set<string>())
  const [posted, post] = useActionState<Answer<Value> | null, FormData>(action, null)
  const formId = useId()
  const idOf = (field: string) => `${formId}-${field}`

  const watch = () => {
    if (!element.current || asked.current.size === 0) return
    const data = new FormData(element.current)
    const now = Object.fromEntries([...asked.current].map((field) => [field, String(data.get(field) ?? '')]))
    if ([...asked.current].some((field) => now[field] !== watched[field])) setWatched(now)
  }
  const startAnew = () => {
    setRound((before) => before + 1)
    setWatched({})
  }
  const controls: Source = {
    read: (submitter) => new FormData(element.current ?? undefined, submitter),
    typed: () => element.current && typedInto(element.current),
    fill: (typed) => {
      if (element.current) typeAgain(element.current, typed as TypedControls) // what `typed` gave
      watch()
    },
    clear: startAnew,
    settle: startAnew,
  }
  const rowsSource = useRowsSource(rows, { hidden, unkept: props.unkept, changed: () => sending.note() })
  const source = rowsSource ?? controls
  const sending = useSending({
    ...{ form: name, about, action, source },
    broughtBack: () => {
      for (const folded of foldedAround(element.current)) folded.open = true
    },
    sent: (answer) => {
      const [step] = foldedAround(element.current)
      // It is done: the way to it folds up again, unless it has something to say.
      if (step && answer.said === undefined) step.open = false
      props.sent?.(answer.value)
    },
  })
  const answer = sending.answer ?? posted
  const problems = answer && !answer.ok ? (answer.fields ?? {}) : {}
  const refused = answer && !answer.ok ? answer : null

  /** Fields to which a message can lead. */
  const rendered = new Set<string>()
  const standing = (field: string) => refused?.typed?.[field] ?? values[field]
  const view: FormView<Value> = {
    field: (field) => {
      rendered.add(field)
      const ties = { id: idOf(field), name: field, error: problems[field]?.[0] }
      if (rows) return { ...rows.register(field as Path<Row>), ...ties } // the fields of the form are those of its rows
      const stands = standing(field)
      return typeof stands === 'boolean' ? { ...ties, defaultChecked: stands } : { ...ties, defaultValue: stands ?? '' }
    },
    typed: (field) => {
      asked.current.add(field)
      return watched[field] ?? String(standing(field) ?? '')
    },
    refusal: refused?.reason ?? '',
    made: answer?.ok ? answer.value : null,
  }
  async function send(submitter: HTMLElement | null): Promise<void> {
    const words = (await props.before?.()) ?? besideWords()
    if (words !== null && words !== stop) return setStop(words)
    setStop(null)
    await sending.send(submitter)
  }
  function besideWords(): string | null {
    const beside = props.leads && element.current ? unsentBeside(element.current) : []
    return beside.length > 0 ? unsentWords(beside) : null
  }

  const fields = typeof children === 'function' ? children(view) : children
  const errors = Object.entries(problems).flatMap(([field, messages]) =>
    (messages ?? []).map((message) => ({ message, ...(rendered.has(field) && { fieldId: idOf(field) }) })),
  )
  return (
    <FormState value={{ isReady: native || sending.isReady, isBusy: sending.isBusy }}>
      <form
        ref={element}
        className={props.className}
        data-form={name}
        data-about={about}
        data-ready={sending.isReady || undefined}
        action={native ? post : undefined}
        noValidate
        onInput={() => {
          if (!rows) sending.note()
          watch()
        }}
        onSubmit={(event) => {
          event.preventDefault()
          const { submitter } = event.nativeEvent as SubmitEvent // what the browser sends with a submit
          void send(submitter)
        }}
      >
        <ErrorSummary key={sending.tries} errors={errors} />
        {Object.entries(hidden).map(([field, value]) => (
          <input key={field} type="hidden" name={field} value={value} />
        ))}
        {rows ? (
          // What is typed into rows before they are ready would be typed over.
          <fieldset className="form-rows" disabled={!sending.isReady}>
            {fields}
          </fieldset>
        ) : (
          <Fragment key={round}>{fields}</Fragment>
        )}
        {refused && <Refusal refused={refused} />}
        {stop !== null && (
          <p role="alert" className="call">
            {stop}
          </p>
        )}
        {answer?.ok && answer.said !== undefined && sending.unsent === 'nothing' && <Notice>{answer.said}</Notice>}
        {!native && <UnsentWords unsent={sending.unsent} discard={sending.discard} />}
        {submit !== undefined && (
          <div className="form-actions">
            <SubmitButton plain={props.plain} big={props.big} pendingWords={props.pendingWords}>
              {submit}
            </SubmitButton>
            {cancelHref !== undefined && (
              <ButtonLink href={cancelHref} quiet>
                Leave it as it is
              </ButtonLink>
            )}
          </div>
        )}
      </form>
    </FormState>
  )
}

/** The folded parts of the page that a form lies in, from the inside out. */
function foldedAround(form: HTMLFormElement | null): HTMLDetailsElement[] {
  const inner = form?.closest('details')
  const outer = inner?.parentElement?.closest('details')
  return [inner, outer].flatMap((folded) => folded ?? [])
}
