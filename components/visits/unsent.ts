/** What stands typed in the other forms of a visit's page and was not recorded: saying one thing makes the page anew, and it would be gone. */

/** The words on the buttons of visit forms, other than this one, in which something was changed. */
export function unsentBeside(own: HTMLFormElement | null): string[] {
  const forms = [...document.querySelectorAll<HTMLFormElement>('form.visit-form')]
  return forms
    .filter((form) => form !== own && !isLeaving(form) && [...form.elements].some(isChanged))
    .map((form) => form.querySelector('button[type="submit"]')?.textContent?.trim() ?? '')
    .filter((words) => words !== '')
}

/** One sentence about them. */
export function unsentWords(buttons: readonly string[]): string {
  const named = [...new Set(buttons)].map((words) => `“${words}”`).join(', ')
  return `Something on this page is not recorded yet. Press ${named} first, or go on without it by pressing again.`
}

/** How the visit ended is said last, after everything else on its page: it waits for that and is quickly ticked again. */
const isLeaving = (form: HTMLFormElement) => form.querySelector('input[name="kind"][value="visit.leave"]') !== null

function isChanged(element: Element): boolean {
  if (element instanceof HTMLTextAreaElement) return element.value !== element.defaultValue
  if (element instanceof HTMLSelectElement)
    return element.selectedIndex > 0 && !element.options[element.selectedIndex]?.defaultSelected
  if (!(element instanceof HTMLInputElement) || element.type === 'hidden') return false
  if (element.type === 'checkbox' || element.type === 'radio') return element.checked !== element.defaultChecked
  return element.type === 'file' ? (element.files?.length ?? 0) > 0 : element.value !== element.defaultValue
}
