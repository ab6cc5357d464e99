import { ChoiceField, Field } from '@/components/forms'
import { AS_FOUND_WORDS, CURE_WORDS, DEPTH_WORDS, optionsOf } from './words'

export type LookedMode = {
  slug: string
  name: string
  sign: string
  lookNeeded: 'running' | 'opened' | 'measured'
  listed: string | null
  finding: Said | null
}
type Said = {
  asFound: keyof typeof AS_FOUND_WORDS
  depth: keyof typeof DEPTH_WORDS
  symptom: string
  cause: string
  remedy: string
  asLeft: string
  cureConfidence: keyof typeof CURE_WORDS | null
  fromTap: boolean
}

export type LookFieldsProps = {
  equipmentId: string
  mode: LookedMode
  /** Sign, cause, remedy, as left and cure as well: for a fault, and for a correction. */
  whole?: boolean
  /** Shows what was said before; only a correction does, a question never has an answer chosen for it. */
  corrects?: boolean
  /** Of the heading, by what stands above it. */
  level?: 3 | 4
}

/** As found and how closely, for one thing that can go wrong. Nothing is chosen until somebody chooses it. */
export function LookFields({ equipmentId, mode, whole = false, corrects = false, level = 4 }: LookFieldsProps) {
  const Heading = `h${level}` as const
  const name = (field: string) => `look|${equipmentId}|${mode.slug}|${field}`
  const said = corrects ? mode.finding : null
  const needs = `Fine counts only when ${DEPTH_WORDS[mode.lookNeeded]}.`
  const before = mode.finding && !corrects && !mode.finding.fromTap ? saidWords(mode.finding) : null
  return (
    <div className="visit-look">
      <Heading>{mode.name}</Heading>
      <p className="soft small">
        {[mode.listed, mode.sign && `sign: ${mode.sign}`].filter(Boolean).join(' · ')}
        {before && (
          <>
            <br />
            <b>Recorded: {before}.</b> Answer again to change it.
          </>
        )}
      </p>
      <ChoiceField
        name={name('asFound')}
        label="As found"
        options={optionsOf(AS_FOUND_WORDS)}
        defaultValue={said?.asFound}
      />
      <ChoiceField
        name={name('depth')}
        label="How closely"
        hint={mode.lookNeeded === 'running' ? undefined : needs}
        options={optionsOf(DEPTH_WORDS)}
        defaultValue={said?.depth}
      />
      {whole && (
        <details open={corrects || undefined}>
          <summary>Fault: sign, cause, remedy, as left</summary>
          <Field name={name('symptom')} label="What it did" defaultValue={said?.symptom} />
          <Field name={name('cause')} label="Cause" defaultValue={said?.cause} />
          <Field name={name('remedy')} label="Remedy" defaultValue={said?.remedy} />
          <Field name={name('asLeft')} label="As left" defaultValue={said?.asLeft} />
          <ChoiceField
            name={name('cureConfidence')}
            label="Fixed?"
            options={optionsOf(CURE_WORDS)}
            defaultValue={said?.cureConfidence ?? undefined}
          />
        </details>
      )}
    </div>
  )
}

/** A look in one line: "needs it, opened; strands; cleared; runs; cure likely". */
export function saidWords(said: Said): string {
  const cure = said.cureConfidence && `fixed: ${CURE_WORDS[said.cureConfidence]}`
  const depth = said.asFound === 'not_looked' ? '' : DEPTH_WORDS[said.depth]
  const look = [AS_FOUND_WORDS[said.asFound], depth].filter(Boolean).join(', ')
  return [look, said.symptom, said.cause, said.remedy, said.asLeft, cure].filter(Boolean).join('; ')
}
