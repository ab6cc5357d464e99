import type { DiagnosisModel } from '@/lib/science/diagnosis'

/** A model by chance: nested set-ups, precedence among checks, checks of different sharpness, some that must be seen running, an honest end. */
export function randomModel(random: () => number, size: { causes: number; checks: number }): DiagnosisModel {
  const whole = (from: number, to: number) => from + Math.floor(random() * (to - from + 1))
  const setUps = [
    { slug: 'off', minutes: whole(1, 8) },
    { slug: 'out', minutes: whole(3, 15) },
  ]
  const needs = () => setUps.slice(0, whole(0, 2)).map(({ slug }) => slug)
  const causes = Array.from({ length: size.causes }, (_, place) => ({
    slug: `cause-${place}`,
    prior: 0.2 + random() ** 2 * 5,
    minutes: whole(2, 40),
    needs: place === 0 ? [] : needs(),
    last: place === 0,
    after: place > 0 && random() < 0.4 ? [`check-${whole(0, size.checks - 1)}`] : [],
  }))
  const checks = Array.from({ length: size.checks }, (_, place) => {
    const count = whole(2, 3)
    const side = causes.map(() => whole(0, count - 1))
    const running = random() < 0.3
    return {
      slug: `check-${place}`,
      minutes: whole(1, 8),
      hit: [0.7, 0.8, 0.9, 0.95, 0.98][whole(0, 4)] ?? 0.9,
      answers: Array.from({ length: count }, (_, answer) => ({
        slug: `answer-${answer}`,
        points: causes.filter((_, cause) => side[cause] === answer).map(({ slug }) => slug),
      })),
      after: place > 0 && random() < 0.25 ? [`check-${whole(0, place - 1)}`] : [],
      needs: running ? [] : needs(),
      running,
      invasiveness: whole(0, 3),
    }
  })
  return { causes, checks, setUps }
}
