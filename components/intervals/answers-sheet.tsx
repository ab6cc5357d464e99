import { everyWords } from '@/components/due/due-words'
import { Step } from '@/components/forms'
import { DateWords, Sheet } from '@/components/paper'
import { inSentence } from '@/components/paper/in-sentence'
import type { FormAction } from '@/lib/office/frame/schema'

export type AnswerView = {
  answerId: string
  decision: 'accepted' | 'declined'
  taskName: string
  className: string
  intervalDays: number | null
  formerDays: number | null
  decidedOn: string
  personName: string
  devices: number
  tanks: number
  tankName: string
  standing: number
}

type Props = {
  answers: readonly AnswerView[]
  takeBack: FormAction
  locale: string
}

/** What was decided of intervals, by whom and when, each with its way back as long as nothing newer was said. */
export function AnswersSheet({ answers, takeBack, locale }: Props) {
  if (answers.length === 0) return null
  return (
    <Sheet title="Decided so far">
      <ul className="visit-list">
        {answers.map((answer) => {
          const back = answer.decision === 'accepted' ? answer.formerDays : answer.intervalDays
          return (
            <li key={answer.answerId}>
              <b>{answerWords(answer)}</b>{' '}
              <span className="soft">
                <DateWords date={answer.decidedOn} style="date" locale={locale} />
                {answer.personName && `, ${answer.personName}`}
              </span>
              {answer.standing === 0 ? (
                <span className="soft small"> Something newer holds now.</span>
              ) : (
                <Step
                  name="interval.take-back"
                  ask={answer.decision === 'accepted' ? 'Go back' : 'Take it after all'}
                  confirm={`Yes, ${planWords(back)}`}
                  action={takeBack}
                  hidden={{ answerId: answer.answerId }}
                >
                  <p>
                    {capital(planWords(back))} from now on, {atWords(answer.standing, answer.devices)}. The due dates
                    follow at once.
                  </p>
                </Step>
              )}
            </li>
          )
        })}
      </ul>
    </Sheet>
  )
}

/** "Protein skimmer, brush the pump: every 24 weeks instead of every 26 weeks at 9 tanks." */
export function answerWords(answer: AnswerView): string {
  const { className, taskName, decision, intervalDays, formerDays } = answer
  const work = `${className}, ${inSentence(taskName)}`
  if (decision === 'declined')
    return `${work}: left ${formerDays === null ? 'as it was, only when needed' : `at ${everyWords(formerDays)}`}, not ${everyWords(intervalDays)}, ${whereWords(answer)}.`
  const instead = intervalDays === formerDays ? '' : ` instead of ${everyWords(formerDays)}`
  return `${work}: ${everyWords(intervalDays)}${instead}, ${whereWords(answer)}.`
}

function whereWords({ devices, tanks, tankName }: AnswerView): string {
  const at = tanks === 1 ? `at ${tankName}` : `at ${tanks} tanks`
  return devices === tanks ? at : `on ${devices} devices ${at}`
}

function atWords(standing: number, devices: number): string {
  if (standing === devices) return standing === 1 ? 'at this device' : `at these ${standing} devices`
  return `at ${standing} of the ${devices} devices: of the others something newer was said`
}

/** As part of a sentence: "do it every 26 weeks". */
const planWords = (days: number | null) => `do it ${everyWords(days)}`
const capital = (words: string) => `${words.charAt(0).toUpperCase()}${words.slice(1)}`
