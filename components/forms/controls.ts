/** What was typed into the controls of a form, read from the page and put back into it. */

export type Control = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement
/** By control: the text in it, or whether it is ticked. Only what differs from what stood there at first. */
export type TypedControls = Readonly<Record<string, string | boolean>>

const isControl = (element: Element): element is Control =>
  element instanceof HTMLInputElement || element instanceof HTMLSelectElement || element instanceof HTMLTextAreaElement

const isBox = (control: Control): control is HTMLInputElement =>
  control instanceof HTMLInputElement && (control.type === 'checkbox' || control.type === 'radio')

/** Never kept: passwords and codes, files, and what a page says is not for the device (`data-unkept`). */
const isKept = (control: Control): boolean =>
  !['hidden', 'password', 'file', 'submit', 'button', 'reset', 'image'].includes(control.type) &&
  control.autocomplete !== 'one-time-code' &&
  control.dataset.unkept === undefined

/** What was changed and may be kept; null when nothing was. */
export function typedInto(form: HTMLFormElement): TypedControls | null {
  const typed: Record<string, string | boolean> = {}
  for (const [key, control] of keptControls(form))
    if (isChanged(control)) typed[key] = isBox(control) ? control.checked : control.value
  return Object.keys(typed).length > 0 ? typed : null
}

/** Puts what was typed back where it differs; a control that is not there is left out. */
export function typeAgain(form: HTMLFormElement, typed: TypedControls): void {
  for (const [key, control] of keptControls(form)) {
    const value = typed[key]
    if (value === undefined) continue
    if (isBox(control)) {
      if (control.checked !== value) control.checked = value === true
    } else if (typeof value === 'string' && control.value !== value) control.value = value
  }
}

/** Whether anything stands in the form that was not there at first, kept or not. */
export function isTypedInto(form: HTMLFormElement): boolean {
  return [...form.elements].some((element) => isControl(element) && element.type !== 'hidden' && isChanged(element))
}

/** The controls with a name, each under a key of its own: boxes by name and value, others by name and place. */
function* keptControls(form: HTMLFormElement): Generator<[string, Control]> {
  const seen = new Map<string, number>()
  for (const element of form.elements) {
    if (!isControl(element) || element.name === '' || !isKept(element)) continue
    const name = isBox(element) ? `${element.name}=${element.value}` : element.name
    const place = seen.get(name) ?? 0
    seen.set(name, place + 1)
    yield [place === 0 ? name : `${name} ${place}`, element]
  }
}

function isChanged(control: Control): boolean {
  if (control instanceof HTMLSelectElement) {
    const standing = [...control.options].findLastIndex((option) => option.defaultSelected)
    return control.selectedIndex !== Math.max(standing, 0)
  }
  if (isBox(control)) return control.checked !== control.defaultChecked
  if (control.type === 'file') return control instanceof HTMLInputElement && (control.files?.length ?? 0) > 0
  return control.value !== control.defaultValue
}
