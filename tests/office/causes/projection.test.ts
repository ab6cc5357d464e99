import { describe, expect, test } from 'vitest'
import { huntAfter, learntFrom, readiedIn } from '@/lib/office/causes/projection'
import type { Move, SignView } from '@/lib/office/causes/schema'
import { readMoves } from '@/lib/office/causes/schema'
import { faultFamilies, findFamily, modelOf } from '@/lib/trade'

/** The sign as its page shows it, without cautions and trade words. */
function viewOf(slug: string): { view: SignView; model: ReturnType<typeof modelOf> } {
  const family = findFamily(slug)
  if (!family) throw new Error(`no sign ${slug}`)
  const model = modelOf(family)
  const view: SignView = {
    ...{ sign: slug, words: family.sign, firstSteps: [], beforeLeaving: [], lookAgainDays: family.lookAgainDays },
    causes: family.causes.map((cause) => ({
      ...cause,
      cautions: [],
      seen: 0,
      devices: [],
      exchanges: false,
      leadsTo: null,
    })),
    checks: family.checks.map((check) => ({
      ...check,
      cautions: [],
      answers: check.answers.map((answer) => ({ ...answer, now: answer.now ?? null, ends: answer.ends ?? false })),
    })),
    setUps: family.setUps.map((setUp) => ({ ...setUp, cautions: [] })),
  }
  return { view, model }
}

describe('a search', () => {
  test.each(faultFamilies.map(({ slug }) => slug))(
    '%s ends whatever is answered, and each set-up is asked for once between two running checks',
    (slug) => {
      const { view, model } = viewOf(slug)
      for (const choose of [0, 1, -1]) {
        let moves: Move[] = []
        let ended = false
        for (let turn = 0; turn < 120 && !ended; turn++) {
          const { next, inPlace } = huntAfter(view, model, moves)
          if (next.step === 'set-up') {
            expect(inPlace).not.toContain(next.setUp.slug)
            moves = [...moves, { did: 'readied', setUp: next.setUp.slug }]
          } else if (next.step === 'check') {
            const answer = next.check.answers.at(choose) ?? next.check.answers.at(-1)
            moves = [...moves, { did: 'answered', check: next.check.slug, answer: answer?.slug ?? '' }]
          } else if (next.step === 'cure') moves = [...moves, { did: 'ruled-out', cause: next.cause.slug }]
          else ended = true
        }
        expect(ended).toBe(true)
        const { answers } = learntFrom(moves)
        expect(new Set(answers.map(({ check }) => check)).size).toBe(answers.length)
      }
    },
  )

  test('the plug comes out before what needs it, and a step back forgets it', () => {
    const { view, model } = viewOf('skimmer-unsteady')
    const turned: Move[] = [{ did: 'turned-to', cause: 'wheel-clogged' }]
    const order: string[] = []
    let moves: Move[] = turned
    for (;;) {
      const { next } = huntAfter(view, model, moves)
      if (next.step !== 'set-up') break
      order.push(next.setUp.slug)
      moves = [...moves, { did: 'readied', setUp: next.setUp.slug }]
    }
    expect(order).toEqual(['plug-out', 'lifted-out', 'pump-open'])
    expect(readiedIn(moves)).toEqual(order)
    expect(huntAfter(view, model, moves).next).toMatchObject({ step: 'cure', cause: { slug: 'wheel-clogged' } })
    expect(huntAfter(view, model, moves.slice(0, -1)).next).toMatchObject({ step: 'set-up' })
    const gone = huntAfter(view, model, [...moves, { did: 'ruled-out', cause: 'wheel-clogged' }])
    expect(gone.likely.map(({ cause }) => cause.slug)).not.toContain('wheel-clogged')
    expect(gone.inPlace).toEqual(order)
  })

  test('what must be seen running puts the plug in again', () => {
    const { view, model } = viewOf('skimmer-unsteady')
    const running = view.checks.find((check) => check.running)
    if (!running) throw new Error('no check of it is seen running')
    const answered: Move = { did: 'answered', check: running.slug, answer: running.answers[0]?.slug ?? '' }
    expect(huntAfter(view, model, [{ did: 'readied', setUp: 'plug-out' }, answered]).inPlace).toEqual([])
  })

  test('found is the end, also out of an address; what is no list of moves is an empty one', () => {
    const { view, model } = viewOf('cloudy-water')
    const moves = readMoves(JSON.stringify([{ did: 'found', cause: 'not-found' }]))
    expect(huntAfter(view, model, moves).next).toMatchObject({ step: 'end', cause: { last: true } })
    for (const sent of [undefined, '', '{', '[{"did":"flew"}]', '7']) expect(readMoves(sent)).toEqual([])
  })
})
