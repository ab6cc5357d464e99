'use client'

import { type ReactNode, useState } from 'react'
import { ChoiceField, Field, Form } from '@/components/forms'
import { Caution, Sheet } from '@/components/paper'
import { inSentence } from '@/components/paper/in-sentence'
import { huntAfter, type NextStep } from '@/lib/office/causes/projection'
import type { CauseView, Move, SignView } from '@/lib/office/causes/schema'
import type { FormAction } from '@/lib/office/frame/schema'

type Model = Parameters<typeof huntAfter>[1]
type Props = {
  visitId: string
  businessId: string
  equipmentId: string
  sign: SignView
  model: Model
  /** The day that is proposed for a follow-up. */
  followUpOn: string
  today: string
  /** What was tapped already, out of the address. */
  kept: readonly Move[]
  action: FormAction
}

/** How many causes are listed before the rest is folded. */
const LISTED = 5
/** Words that stand below cautions: whose word goes first. */
const LOCAL = 'Local codes and licensed trades go first.'

/**
 * One search from a sign to its cause: the next step on top, with what it needs first; what is likely below. What was tapped stands in the address,
 * so that it is still there after a reload, and the way back undoes it.
 */
export function FindCause({ sign, model, kept, ...props }: Props) {
  const [moves, setMoves] = useState<readonly Move[]>(kept)
  const go = (next: readonly Move[]) => {
    setMoves(next)
    history.replaceState(history.state, '', addressOf(props, sign, next))
  }
  const add = (move: Move) => go([...moves, move])
  const { next, likely, cases, now, minutes } = huntAfter(sign, model, moves)
  const notFound = sign.causes.find(({ last }) => last)
  return (
    <>
      {sign.firstSteps.length > 0 && (
        <Sheet title="First">
          <details open={moves.length === 0}>
            <summary>{moves.length === 0 ? 'Before anything else' : 'What came first'}</summary>
            {sign.firstSteps.map((step) => (
              <Step key={step.text} text={step.text} cautions={step.cautions} />
            ))}
          </details>
        </Sheet>
      )}
      {now.map((words) => (
        <Caution key={words}>{words}</Caution>
      ))}
      {next.step === 'end' ? (
        <EndForm {...props} sign={sign} cause={next.cause} moves={moves} />
      ) : (
        <NextSheet next={next} add={add} />
      )}
      <p className="visit-next cause-ways">
        {moves.length > 0 && (
          <button type="button" className="button plain" onClick={() => go(moves.slice(0, -1))}>
            Undo the last answer
          </button>
        )}
        {notFound && next.step !== 'end' && (
          <button type="button" className="button plain" onClick={() => add({ did: 'found', cause: notFound.slug })}>
            Not found today
          </button>
        )}
      </p>
      <Sheet title="What it may be">
        <p className="soft small">
          {cases === 0
            ? 'No such fault was written down here yet: these are the trade’s usual shares.'
            : `From ${cases} ${cases === 1 ? 'case' : 'cases'} here and the trade’s usual shares.`}{' '}
          About {minutes} minutes from here.
        </p>
        <ol className="cause-list">
          {likely.slice(0, LISTED).map((one) => (
            <Likely key={one.cause.slug} {...one} cases={cases} add={add} />
          ))}
        </ol>
        {likely.length > LISTED && (
          <details>
            <summary>Less likely</summary>
            <ol className="cause-list">
              {likely.slice(LISTED).map((one) => (
                <Likely key={one.cause.slug} {...one} cases={cases} add={add} />
              ))}
            </ol>
          </details>
        )}
      </Sheet>
      {sign.beforeLeaving.length > 0 && (
        <Sheet title="Before you leave">
          {sign.beforeLeaving.map((step) => (
            <Step key={step.text} text={step.text} cautions={step.cautions} />
          ))}
        </Sheet>
      )}
    </>
  )
}

/** The search as it stands, as an address: it is there again after a reload, and can be sent to a colleague. */
function addressOf(
  { visitId, equipmentId }: Pick<Props, 'visitId' | 'equipmentId'>,
  sign: SignView,
  moves: readonly Move[],
) {
  const asked = new URLSearchParams({
    sign: sign.sign,
    ...(equipmentId === '' ? {} : { device: equipmentId }),
    ...(moves.length === 0 ? {} : { moves: JSON.stringify(moves) }),
  })
  return `/visits/${visitId}/find?${asked}`
}

type Acts = { add: (move: Move) => void }

function NextSheet({ next, add }: Acts & { next: NextStep }) {
  switch (next.step) {
    case 'set-up':
      return (
        <Sheet title={next.setUp.name}>
          <Cautioned texts={next.setUp.cautions} />
          <p className="soft">
            Needed for: {next.forWhat} About {next.setUp.minutes} min, there and back.
          </p>
          <Big onClick={() => add({ did: 'readied', setUp: next.setUp.slug })}>Done: {inSentence(next.setUp.name)}</Big>
        </Sheet>
      )
    case 'check':
      return (
        <Sheet title={next.check.question}>
          <Cautioned texts={next.check.cautions} />
          {next.check.running && <p>Everything plugged in and running for this.</p>}
          <div className="cause-answers">
            {next.check.answers.map(({ slug, words }) => (
              <Big key={slug} onClick={() => add({ did: 'answered', check: next.check.slug, answer: slug })}>
                {words}
              </Big>
            ))}
          </div>
          <button
            type="button"
            className="button plain"
            onClick={() => add({ did: 'skipped', check: next.check.slug })}
          >
            Cannot tell here
          </button>
        </Sheet>
      )
    case 'cure':
      return (
        <Sheet title={next.cause.name}>
          <Cautioned texts={next.cause.cautions} />
          <p>{next.cause.remedy}</p>
          <p className="soft">About {next.cause.minutes} min.</p>
          <div className="cause-answers">
            <Big onClick={() => add({ did: 'found', cause: next.cause.slug })}>That was it</Big>
            <Big onClick={() => add({ did: 'ruled-out', cause: next.cause.slug })}>That was not it</Big>
          </div>
        </Sheet>
      )
    default:
      return (
        <Sheet title="Nothing is left to look at">
          <p>Choose one below, or end here.</p>
        </Sheet>
      )
  }
}

function Likely({ cause, percent, cases, add }: Acts & { cause: CauseView; percent: number; cases: number }) {
  return (
    <li>
      <span>
        {cause.name} <b>{`${percent < 1 ? 'under 1' : percent}\u00a0%`}</b>
        {cause.seen > 0 && (
          <span className="soft small">
            {' '}
            here {cause.seen} of {cases}
          </span>
        )}
      </span>
      <button
        type="button"
        className="button plain"
        aria-label={cause.last ? cause.name : `Go to: ${cause.name}`}
        onClick={() => add({ did: cause.last ? 'found' : 'turned-to', cause: cause.slug })}
      >
        {cause.last ? 'End here' : 'Go to it'}
      </button>
    </li>
  )
}

type EndProps = Omit<Props, 'model' | 'kept'> & { cause: CauseView; moves: readonly Move[] }

/** What was found, said once: it becomes the finding, the work and the case. */
function EndForm({ visitId, businessId, equipmentId, sign, cause, moves, followUpOn, today, action }: EndProps) {
  const isSettled = cause.last || cause.leadsTo !== null
  return (
    <Sheet title={cause.last ? 'Not found today' : `Found: ${inSentence(cause.name)}`}>
      <Cautioned texts={cause.cautions} />
      <p>{cause.remedy}</p>
      <Form
        name="visit.find-cause"
        about={`${visitId} ${sign.sign} ${equipmentId} ${cause.slug}`}
        action={action}
        hidden={{
          ...{ visitId, businessId, equipmentId, sign: sign.sign, cause: cause.slug },
          moves: JSON.stringify(moves),
        }}
        values={cause.last ? { followUp: `${sign.words}: look again`, followUpOn } : {}}
        submit={cause.leadsTo ? `Record it, and go on: ${inSentence(cause.leadsTo.words)}` : 'Record it'}
        big
      >
        {({ field, typed }) => (
          <>
            {cause.devices.length > 1 && (
              <ChoiceField
                {...field('atDeviceId')}
                label="Which one?"
                options={cause.devices.map(({ id, label }) => ({ value: id, label }))}
              />
            )}
            {!isSettled && cause.devices.length > 0 && (
              <ChoiceField
                {...field('asFound')}
                label="How bad was it?"
                options={[
                  { value: 'needs_it', label: 'Still working, needed it' },
                  { value: 'failed', label: 'Failed' },
                ]}
              />
            )}
            {!isSettled && (
              <>
                <ChoiceField
                  {...field('putRight')}
                  label="Put right?"
                  options={[
                    { value: 'now', label: cause.exchanges ? 'Yes: a new one is in' : 'Yes, now' },
                    { value: 'later', label: 'Not yet' },
                  ]}
                />
                {typed('putRight') === 'now' && cause.devices.length > 0 && (
                  <ChoiceField
                    {...field('cureConfidence')}
                    label="Fixed?"
                    options={[
                      { value: 'sure', label: 'For sure' },
                      { value: 'likely', label: 'Likely' },
                      { value: 'not_sure', label: 'Not sure' },
                    ]}
                  />
                )}
                <Field {...field('asLeft')} label="As left (optional)" hint="How it runs now, and any setting." />
              </>
            )}
            {(cause.last || typed('putRight') === 'later' || typed('cureConfidence') === 'not_sure') && (
              <>
                <Field {...field('followUp')} label={cause.last ? 'Follow-up' : 'Follow-up (optional)'} />
                <Field {...field('followUpOn')} type="date" min={today} label="By when" />
              </>
            )}
          </>
        )}
      </Form>
    </Sheet>
  )
}

function Big({ onClick, children }: { onClick: () => void; children: ReactNode }) {
  return (
    <button type="button" className="button big" onClick={onClick}>
      {children}
    </button>
  )
}

function Cautioned({ texts }: { texts: readonly string[] }) {
  if (texts.length === 0) return null
  return (
    <>
      {texts.map((text) => (
        <Caution key={text}>{text}</Caution>
      ))}
      <p className="caution-local">{LOCAL}</p>
    </>
  )
}

function Step({ text, cautions }: { text: string; cautions: readonly string[] }) {
  return (
    <>
      <p>{text}</p>
      <Cautioned texts={cautions} />
    </>
  )
}
