/**
 * Our Weibull fit beside R's (survival::survreg, Therneau, CRAN) on the same interval-censored lives, in the same run; R counts its
 * own time, without its start. Skipped, in words, where R with that package is not installed.
 *
 *   node --conditions=react-server --import tsx tests/bench/fits-beside-r.ts
 */
import { execFileSync, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { fitWeibull, type Observation } from '@/lib/science'
import { seededRandom } from '../science/seeded-random'
import { say } from './timing'

/** A mode of a small business, of a middling one, and of the largest: sets × lives. */
const SIZES = [
  { sets: 400, lives: 60 },
  { sets: 40, lives: 1_000 },
  { sets: 4, lives: 50_000 },
]
const ROUNDS = 3
const SAME = 1e-4

function livesSeenAtVisits(random: () => number, count: number): Observation[] {
  const shape = 0.8 + 2.2 * random()
  const scale = 60 + 500 * random()
  return Array.from({ length: count }, () => {
    const life = scale * (-Math.log(1 - random())) ** (1 / shape)
    const watched = scale * (0.3 + 2 * random())
    const lastOk = Math.floor(Math.min(life, watched) / 14) * 14
    return life > watched ? { lower: Math.max(14, lastOk), upper: Infinity } : { lower: lastOk, upper: lastOk + 14 }
  })
}

function besideR(folder: string, { sets, lives }: (typeof SIZES)[number]): void {
  const random = seededRandom(lives)
  const data = Array.from({ length: sets }, () => livesSeenAtVisits(random, lives))
  const file = path.join(folder, `${lives}.csv`)
  const text = (value: number) => (value === Infinity ? 'Inf' : String(value))
  writeFileSync(
    file,
    `set,lower,upper\n${data.flatMap((set, i) => set.map(({ lower, upper }) => `${i},${lower},${text(upper)}`)).join('\n')}\n`,
  )
  const ours: number[] = []
  const theirs: number[] = []
  for (let round = 0; round < ROUNDS; round++) {
    const started = performance.now()
    const scales = data.map((set) => fitWeibull(set).scale)
    ours.push(performance.now() - started)
    const [took = 0, ...scalesOfR] = execFileSync(
      'Rscript',
      [path.join(import.meta.dirname, 'fits-beside-r.R'), file],
      {
        encoding: 'utf8',
      },
    )
      .split(',')
      .map(Number)
    theirs.push(took * 1000)
    const off = scales.filter((scale, i) => Math.abs(scale / (scalesOfR[i] ?? 0) - 1) > SAME).length
    if (off > 0) throw new Error(`${off} of ${sets} fits of ${lives} lives differ from R's`)
  }
  const [our, their] = [Math.min(...ours), Math.min(...theirs)]
  say(
    `  ${String(sets).padStart(4)} sets of ${lives.toLocaleString('en-GB').padStart(6)} lives: ${our.toFixed(0).padStart(6)} ms, R ${their.toFixed(0).padStart(6)} ms: ` +
      `${(our / their).toFixed(2)} times R's time`,
  )
}

if (spawnSync('Rscript', ['-e', 'library(survival)']).status === 0) {
  say(`Weibull fits beside R's survreg, best of ${ROUNDS}:`)
  const folder = mkdtempSync(path.join(tmpdir(), 'tankround-bench-'))
  try {
    for (const size of SIZES) besideR(folder, size)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
} else say('Weibull fits beside R: skipped, because Rscript with the package survival is not installed.')
