import type { Locator } from 'playwright-core'

/** What stands in the controls of a form by name and place; hidden ones, files and what is never kept are left out. */
export type Standing = Record<string, string | boolean>

/** Opens whatever the form is folded into, so that it can be used. */
export async function unfold(form: Locator): Promise<void> {
  await form.evaluate((element) => {
    for (let part = element.parentElement; part; part = part.parentElement)
      if (part instanceof HTMLDetailsElement) part.open = true
    for (const part of element.querySelectorAll('details')) part.open = true
  })
}

/**
 * Changes every control as a person would: other text in it, another choice, the box turned over; the page is told as the
 * browser tells it.
 */
export function typeIntoAll(form: Locator): Promise<void> {
  return form.evaluate((element) => {
    const prototypes = { INPUT: HTMLInputElement, TEXTAREA: HTMLTextAreaElement, SELECT: HTMLSelectElement }
    const tell = (control: Element) => {
      control.dispatchEvent(new Event('input', { bubbles: true }))
      control.dispatchEvent(new Event('change', { bubbles: true }))
    }
    const textFor = (control: HTMLInputElement | HTMLTextAreaElement, place: number): string => {
      if (control instanceof HTMLTextAreaElement) return `Kept words ${place}\nand a second line`
      const byType: Record<string, string> = {
        date: '2026-03-04',
        time: '07:45',
        month: '2026-03',
        email: `kept${place}@harbourlane.example`,
      }
      if (['decimal', 'numeric'].includes(control.inputMode)) return `${place + 7}`
      return (byType[control.type] ?? `Kept ${place}`).slice(0, control.maxLength > 0 ? control.maxLength : undefined)
    }
    const seen = new Set<string>()
    let place = 0
    // Controls that appear because of an answer are typed into as well.
    for (let round = 0; round < 2; round++)
      for (const control of (element as HTMLFormElement).elements) {
        place += 1
        if (
          !(
            control instanceof HTMLInputElement ||
            control instanceof HTMLTextAreaElement ||
            control instanceof HTMLSelectElement
          )
        )
          continue
        const key = `${control.name} ${control instanceof HTMLInputElement && ['checkbox', 'radio'].includes(control.type) ? control.value : ''}`
        if (control.name === '' || seen.has(key) || ['hidden', 'password', 'file', 'submit'].includes(control.type))
          continue
        if (control.matches('[readonly], [disabled]')) continue
        seen.add(key)
        if (control instanceof HTMLSelectElement) {
          const other = [...control.options].findLastIndex((option) => option.value !== '' && !option.selected)
          if (other < 0) continue
          control.selectedIndex = other
          tell(control)
        } else if (control.type === 'checkbox') control.click()
        else if (control.type === 'radio') {
          if (control instanceof HTMLInputElement && !control.checked) control.click()
        } else {
          const set = Object.getOwnPropertyDescriptor(prototypes[control.tagName as 'INPUT'].prototype, 'value')?.set
          set?.call(control, textFor(control, place))
          tell(control)
        }
      }
  })
}

/** What stands in the form now. */
export function standing(form: Locator): Promise<Standing> {
  return form.evaluate((element) => {
    const found: Record<string, string | boolean> = {}
    const places = new Map<string, number>()
    for (const control of (element as HTMLFormElement).elements) {
      if (
        !(
          control instanceof HTMLInputElement ||
          control instanceof HTMLTextAreaElement ||
          control instanceof HTMLSelectElement
        )
      )
        continue
      if (control.name === '' || ['hidden', 'password', 'file', 'submit'].includes(control.type)) continue
      if (control.dataset.unkept !== undefined || control.matches('[readonly]')) continue
      const isBox = control instanceof HTMLInputElement && ['checkbox', 'radio'].includes(control.type)
      const name = isBox ? `${control.name}=${control.value}` : control.name
      const place = places.get(name) ?? 0
      places.set(name, place + 1)
      found[`${name} ${place}`] = isBox ? control.checked : control.value
    }
    return found
  })
}
