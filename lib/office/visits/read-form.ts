/** From the fields of a visit's forms to its commands. Pure: what the form says is all there is. */
import { z } from 'zod'
import { isOpenNumber } from '../frame/numbers'
import { type FormFields, parsedJson } from './form-fields'
import { figureOf } from './water'
import { looksOf, workOf } from './work-form'

const pairsSchema = z.array(z.object({ equipmentId: z.string(), mode: z.string() }))

/**
 * What a form says, without the envelope and not yet checked: `visitCommandSchema` does that. A look that nobody answered is
 * not in it. Figures are read with point or comma; what is no figure becomes NaN and is refused there in words.
 */
export function sayingOf(form: FormFields): Record<string, unknown> {
  const kind = form.one('kind')
  switch (kind) {
    case 'visit.start':
      return { kind, tankId: form.one('tankId'), visitKind: form.one('visitKind'), whatFor: form.one('whatFor') }
    case 'visit.no-access':
      return {
        kind,
        reason: form.one('reason'),
        minutes: form.one('minutes') === '' ? null : wholeOf(form.one('minutes')),
      }
    case 'visit.suspect':
      return { kind, ...pairOf(form.one('pair')), words: form.one('words') }
    case 'visit.record-looks':
      return { kind, looks: looksOf(form) }
    case 'visit.all-running':
      return { kind, pairs: parsedJson(form.one('pairs'), pairsSchema) }
    case 'visit.record-report': {
      const reportedOn = form.one('reportedOn') || null
      const said = {
        asFound: form.one('asFound'),
        reportedOn,
        sure: form.one('sure') === 'on',
        words: form.one('words'),
      }
      return { kind, ...pairOf(form.one('pair')), ...said }
    }
    case 'visit.work':
      return workOf(form)
    case 'visit.readings':
      return { kind, readings: readingsOf(form) }
    case 'visit.water-change':
      return {
        ...{ kind, amount: form.one('amount'), unit: form.one('unit') },
        ...{ newSalinity: form.one('newSalinity'), newSalinityUnit: form.one('newSalinityUnit') },
        newTemperatureC: form.one('newTemperatureC'),
      }
    case 'visit.device-readings':
      return { kind, readings: deviceReadingsOf(form) }
    case 'visit.levels':
      return { kind, levels: levelsOf(form) }
    case 'visit.use-lots':
      return { kind, lotIds: form.all('lotIds') }
    case 'visit.switch-off':
    case 'visit.switch-on':
      return { kind, devices: form.all('devices') }
    case 'visit.use-part':
      return { kind, ...partOf(form) }
    case 'visit.note':
      return { kind, audience: form.one('audience'), text: form.one('text'), replaces: form.all('replaces') }
    case 'visit.promise':
      return { kind, what: form.one('what'), dueOn: form.one('dueOn') }
    case 'visit.promise-kept':
      return { kind, followUpId: form.one('followUpId'), note: form.one('note') }
    case 'visit.leave': {
      const said = { outcome: form.one('outcome'), minutes: wholeOf(form.one('minutes')) }
      const earlier = { loggedAfterwards: form.one('loggedAfterwards') === 'on' }
      const leftEarlyReason = form.one('leftEarlyReason')
      return { kind, ...said, ...earlier, leavingCheckDone: form.all('check'), leftEarlyReason }
    }
    case 'visit.take-back':
      return { kind, takesBack: form.one('takesBack') }
    case 'visit.correct':
      return { kind, correction: correctionOf(form) }
    default:
      return { kind }
  }
}

function readingsOf(form: FormFields): Record<string, unknown>[] {
  return form.names.flatMap((name) => {
    const [prefix, quantity] = name.split('|')
    const enteredValue = form.one(name)
    if (prefix !== 'value' || enteredValue === '') return []
    return [{ quantity, enteredValue, enteredUnit: form.one(`unit|${quantity}`) }]
  })
}

/** Names of fields: `device|id|quantity`, and beside it `into|…` and `unit|…`. A field left blank was not measured. */
function deviceReadingsOf(form: FormFields): Record<string, unknown>[] {
  return form.names.flatMap((name) => {
    const [prefix, equipmentId, quantity] = name.split('|')
    const enteredInto = form.one(`into|${equipmentId}|${quantity}`)
    const enteredValue = form.one(name)
    if (prefix !== 'device' || (enteredValue === '' && enteredInto === '')) return []
    return [
      { equipmentId, quantity, enteredValue, enteredInto, enteredUnit: form.one(`unit|${equipmentId}|${quantity}`) },
    ]
  })
}

/** Names of fields: `before|id` and `after|id`. A container of which neither was said is not in it. */
function levelsOf(form: FormFields): Record<string, unknown>[] {
  const ids = new Set(
    form.names.flatMap((name) => (/^(before|after)\|/.test(name) ? [name.slice(name.indexOf('|') + 1)] : [])),
  )
  const levelOf = (text: string) =>
    text === '' ? null : isOpenNumber(text) ? Number.NaN : (figureOf(text) ?? Number.NaN)
  return [...ids]
    .map((reservoirId) => ({
      reservoirId,
      levelBefore: levelOf(form.one(`before|${reservoirId}`)),
      levelAfter: levelOf(form.one(`after|${reservoirId}`)),
    }))
    .filter(({ levelBefore, levelAfter }) => levelBefore !== null || levelAfter !== null)
}

function partOf(form: FormFields) {
  // A choice from the van carries the part, its price and its name; one from the price list the price and the name.
  const [partId = '', partPriceId = '', ...partName] = form.one('part').split('|')
  const [priceId = '', ...priceName] = form.one('priceItem').split('|')
  const priceItemId = (partId === '' ? priceId : partPriceId) || null
  const description = form.one('description') || partName.join('|') || priceName.join('|')
  // 1,500 may be fifteen hundred: with a point it is one and a half, as the form's own hint writes figures.
  const typed = form.one('quantity')
  const quantity = (isOpenNumber(typed) && typed.includes(',') ? null : figureOf(typed)) ?? Number.NaN
  // Where a form does not ask for the part, a correction leaves it as it was.
  const part = form.names.includes('part') ? { partId: partId || null } : {}
  return { priceItemId, ...part, description, quantity, billable: form.one('billable') === 'on' }
}

function correctionOf(form: FormFields): Record<string, unknown> {
  const of = form.one('of')
  const targetId = form.one('targetId')
  if (of === 'finding') return { of, look: looksOf(form)[0] }
  if (of === 'reading') return { of, targetId, ...readingsOf(form)[0] }
  if (of === 'renewal') return { of, targetId, reason: form.one('reason'), partial: form.one('partial') === 'on' }
  return { of, targetId, ...partOf(form) }
}

function pairOf(text: string): { equipmentId: string; mode: string } {
  const [equipmentId = '', mode = ''] = text.split('|')
  return { equipmentId, mode }
}

const wholeOf = (text: string) => (/^\d{1,6}$/.test(text) ? Number(text) : Number.NaN)
