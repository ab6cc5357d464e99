'use client'

import { useRouter } from 'next/navigation'
import { useId, useRef, useState } from 'react'
import { ChoiceField } from '@/components/forms'
import { Problem, Progress, Sheet } from '@/components/paper'
import { newId } from '@/lib/new-id'
import type { Result } from '@/lib/office/frame/result'
import type { DryRun, FieldChoices, Question } from '@/lib/office/old-records/result'
import { BYTES_MAX, FILES_MAX, type ImportOptions, type Mapping } from '@/lib/office/old-records/schema'
import { FileSheet } from './file-sheet'
import { ImportReportSheets } from './import-report'
import { answerWords, countWords } from './words'

type Props = { businessId: string; fields: FieldChoices }
type Said = { files: File[]; options: ImportOptions; mapping: Mapping }

const NOTHING_SAID: Said = { files: [], options: {}, mapping: {} }
const LOST = 'The server did not answer. Nothing was changed; try again in a moment.'

/** Bringing old records from choosing files to the yes. The files stay in this browser and are sent with each look. */
export function BringRecords({ businessId, fields }: Props) {
  const router = useRouter()
  const chooserId = useId()
  const commandId = useRef(newId())
  const turn = useRef(0)
  const [said, setSaid] = useState(NOTHING_SAID)
  const [run, setRun] = useState<DryRun | null>(null)
  const [busy, setBusy] = useState<'looking' | 'bringing' | null>(null)
  const [problem, setProblem] = useState<string[]>([])

  const form = ({ files, options, mapping }: Said) => {
    const data = new FormData()
    data.set('businessId', businessId)
    data.set('commandId', commandId.current)
    data.set('options', JSON.stringify(options))
    data.set('mapping', JSON.stringify(mapping))
    for (const file of files) data.append('files', file)
    return data
  }

  /** Says something new and looks again; only the answer to the latest saying counts. */
  const say = async (next: Said) => {
    turn.current += 1
    const mine = turn.current
    setSaid(next)
    const tooMuch = whatIsTooMuch(next.files)
    setProblem(tooMuch ? [tooMuch] : [])
    if (tooMuch || next.files.length === 0) {
      setRun(null)
      setBusy(null)
      return
    }
    setBusy('looking')
    const result = await send<DryRun>('/api/imports/look', form(next))
    if (mine !== turn.current) return
    setBusy(null)
    if (result?.ok) setRun(result.value)
    else setProblem(result?.words?.split('\n') ?? [LOST])
  }

  const bringThem = async () => {
    if (busy !== null) return
    setBusy('bringing')
    setProblem([])
    const result = await send<{ batchId: string }>('/api/imports/bring', form(said))
    if (result?.ok) return router.push(`/imports/${result.value.batchId}`)
    setBusy(null)
    setProblem(result?.words?.split('\n') ?? [LOST])
  }

  const answer = (question: Question, choice: string) => {
    const { options } = said
    if (question.about === 'gallon')
      return say({ ...said, options: { ...options, gallon: choice as 'us' | 'imperial' } })
    const field = question.about === 'date-order' ? 'dateOrder' : 'decimalMark'
    return say(withFileOptions(said, question.file ?? '', { [field]: choice }))
  }

  const added = run ? Object.values(run.report).reduce((sum, kind) => sum + kind.added, 0) : 0
  return (
    <div className="stack" aria-busy={busy !== null}>
      <Sheet title="The files">
        <div className="field">
          <label className="field-label" htmlFor={chooserId}>
            CSV files
          </label>
          <p className="field-hint">
            Several at once: clients, tanks, equipment, visits. Any of them alone will do too. They are read, not kept.
          </p>
          <input
            id={chooserId}
            type="file"
            multiple
            accept=".csv,.tsv,.txt,text/csv"
            disabled={busy === 'bringing'}
            onChange={(event) => say({ ...NOTHING_SAID, files: [...(event.target.files ?? [])] })}
          />
        </div>
        <p role="status" className="soft">
          {busy === 'looking' ? 'Looking at the files …' : ''}
        </p>
      </Sheet>
      {problem.length > 0 && <Lines title="This needs another look" lines={problem} />}
      {run?.files.map((file) => (
        <FileSheet
          key={file.name}
          file={file}
          fields={fields}
          mapped={Object.hasOwn(said.mapping, file.name)}
          onOptions={(options) => say(withFileOptions(said, file.name, options))}
          onMapping={(mapping) => say({ ...said, mapping: { ...said.mapping, [file.name]: mapping } })}
        />
      ))}
      {run && run.volumeUnits.length > 0 && (
        <VolumeUnits
          run={run}
          said={said}
          onGallon={(gallon) => say({ ...said, options: { ...said.options, gallon } })}
        />
      )}
      {run?.questions.map((question) => (
        <Sheet key={`${question.about} ${question.file}`} tone="call">
          <ChoiceField
            name={`${question.about} ${question.file}`}
            label={question.text}
            options={question.choices.map((value) => ({ value, label: answerWords(value) }))}
            onChange={(event) => answer(question, event.target.value)}
          />
        </Sheet>
      ))}
      {run && <ImportReportSheets report={run.report} warnings={run.warnings} />}
      {run && (
        <Sheet>
          {run.ready ? (
            <p>
              {added === 0
                ? 'Everything in these files is here already.'
                : `${countWords(added, 'row', 'rows')} come in; those of visits make ${countWords(run.visits, 'visit', 'visits')}. All of it can be taken back afterwards.`}
            </p>
          ) : (
            <p className="call">Answer the questions and match the columns above first.</p>
          )}
          {busy === 'bringing' && <Progress label="Bringing them in; this takes up to a minute" />}
          <div className="form-actions">
            <button
              type="button"
              className="go"
              aria-disabled={!run.ready || busy !== null}
              onClick={() => run.ready && bringThem()}
            >
              {busy === 'bringing' ? 'Bringing them in …' : 'Bring them in'}
            </button>
          </div>
        </Sheet>
      )}
    </div>
  )
}

/** Files go to a route of their own; the answer is a result like any action's, or null where none came. */
async function send<T>(address: string, data: FormData): Promise<Result<T> | null> {
  const response = await fetch(address, { method: 'POST', body: data }).catch(() => null)
  return response?.json().catch(() => null) ?? null
}

function Lines({ title, lines }: { title: string; lines: readonly string[] }) {
  return (
    <Problem title={title}>
      <ul>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </Problem>
  )
}

/** Once the gallon is answered its question is gone: here the answer can still be changed. */
function VolumeUnits({
  run,
  said,
  onGallon,
}: {
  run: DryRun
  said: Said
  onGallon: (gallon: 'us' | 'imperial') => void
}) {
  const gallon = said.options.gallon
  return (
    <Sheet title="Volumes">
      <p>
        {run.volumeUnits
          .map(({ unit, count }) => `${count} in ${unit === '' ? 'litres (no unit is written)' : unit}`)
          .join(', ')}
        .
      </p>
      {gallon && (
        <ChoiceField
          name="gallon"
          label="Which gallon"
          options={(['us', 'imperial'] as const).map((value) => ({ value, label: answerWords(value) }))}
          value={gallon}
          onChange={(event) => onGallon(event.target.value === 'us' ? 'us' : 'imperial')}
        />
      )}
    </Sheet>
  )
}

function withFileOptions(said: Said, file: string, options: object): Said {
  const files = said.options.files ?? {}
  return { ...said, options: { ...said.options, files: { ...files, [file]: { ...files[file], ...options } } } }
}

function whatIsTooMuch(files: readonly File[]): string | null {
  if (files.length > FILES_MAX) return `At most ${FILES_MAX} files at once.`
  const twice = files.find((file, index) => files.findIndex((other) => other.name === file.name) !== index)
  if (twice) return `Two files are called “${twice.name}”: give one of them another name.`
  const bytes = files.reduce((sum, file) => sum + file.size, 0)
  if (bytes > BYTES_MAX)
    return `These files have ${Math.ceil(bytes / 1e6)} MB together; at most ${Math.floor(BYTES_MAX / 1e6)} MB go at once. Bring visits year by year.`
  return null
}
