/** What stands typed in the other forms of a page and was not sent: whoever goes on to another page may have forgotten it. */
import { isTypedInto } from './controls'

/** The words on the buttons of the forms, other than this one, into which something was typed. */
export function unsentBeside(own: HTMLFormElement | null): string[] {
  const forms = [...document.querySelectorAll<HTMLFormElement>('form[data-form]')]
  return forms
    .filter((form) => form !== own && form.dataset.form !== LAST_OF_ALL && isTypedInto(form))
    .map((form) => form.querySelector('button[type="submit"]')?.textContent?.trim() ?? '')
    .filter((words) => words !== '')
}

/** One sentence about them. */
export function unsentWords(buttons: readonly string[]): string {
  const named = [...new Set(buttons)].map((words) => `“${words}”`).join(', ')
  return `Something on this page is not recorded yet. Press ${named} first, or go on without it by pressing again.`
}

/** How a visit ended is said last, after everything else on its page: it waits for that and is quickly ticked again. */
const LAST_OF_ALL = 'visit.leave'
