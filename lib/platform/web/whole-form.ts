import type { IncomingMessage } from 'node:http'

/**
 * Waits until a form is here whole, and says whether it can be read at all: what cannot would be a fault of the program further
 * in, though it is one of the sender. Keeps it in memory until then, so its size must be held already. Whoever reads the request
 * afterwards gets all of it. False too where the sender went away.
 */
export function isReadableForm(request: IncomingMessage): Promise<boolean> {
  const type = request.headers['content-type'] ?? ''
  const isForm = /^multipart\/form-data\b/i.test(type)
  const isAction = request.headers['next-action'] !== undefined
  if (request.method !== 'POST' || !(isForm || isAction)) return Promise.resolve(true)
  return new Promise((resolve) => {
    const push = request.push.bind(request)
    const chunks: Uint8Array[] = []
    request.once('close', () => resolve(false))
    request.push = (chunk: Uint8Array | null) => {
      if (chunk !== null) {
        chunks.push(chunk)
        return true
      }
      const body = Buffer.concat(chunks)
      const isReadable = isForm ? readsAsForm(body, type, isAction) : Promise.resolve(readsAsArguments(body.toString()))
      isReadable.then((answer) => {
        if (body.length > 0) push(body)
        push(null)
        resolve(answer)
      })
      return true
    }
  })
}

async function readsAsForm(body: Uint8Array<ArrayBuffer>, type: string, isAction: boolean): Promise<boolean> {
  const form = await new Response(body, { headers: { 'content-type': type } }).formData().catch(() => null)
  if (!form || !isAction) return form !== null
  const root = form.get('0')
  return typeof root === 'string' && readsAsArguments(root, form)
}

/** How deep what an action is given may be nested; ours need three levels. */
const DEEPEST = 32
/** Words of React's own spelling of arguments that need no further part: what is missing, dates, great and odd numbers, symbols, a dollar itself. */
const ALONE = /^\$(?:\$|undefined$|D|n-?\d+$|NaN$|-?Infinity$|-0$|S)/
/** Those that name a part of the form: it must be there. A form within the form needs none. */
const PART = /^\$[QWGFhioOUSsLlgMmRrXxVNATBbZ@]?([0-9a-f]+)(?::.*)?$/
const FORM_WITHIN = /^\$K[0-9a-f]*$/

/** Whether a text is what React makes of the arguments of an action: a list whose words all have their parts. */
function readsAsArguments(text: string, form?: FormData): boolean {
  let root: unknown
  try {
    root = JSON.parse(text)
  } catch {
    return false
  }
  if (!Array.isArray(root)) return false
  const waiting: { value: unknown; depth: number }[] = [{ value: root, depth: 0 }]
  for (let next = waiting.pop(); next; next = waiting.pop()) {
    const { value, depth } = next
    if (depth > DEEPEST) return false
    if (typeof value === 'string' && value.startsWith('$') && !hasItsPart(value, form)) return false
    if (typeof value === 'object' && value !== null)
      for (const inner of Object.values(value)) waiting.push({ value: inner, depth: depth + 1 })
  }
  return true
}

function hasItsPart(word: string, form: FormData | undefined): boolean {
  if (ALONE.test(word)) return true
  if (!form) return false
  if (FORM_WITHIN.test(word)) return true
  const part = PART.exec(word)?.[1]
  return part !== undefined && form.has(part)
}
