import { BaseSequencer, type TestSpecification } from 'vitest/node'

/** Files that take minutes, whatever their size: one that begins last keeps all others waiting. */
const LONG = ['tests/seed/demo-', 'tests/prove/']

/** Begins the long files first; the rest in vitest's own order (the largest first, where no run has timed them yet). */
export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files)
    const isLong = ({ moduleId }: TestSpecification) => LONG.some((part) => moduleId.includes(part))
    return [...sorted.filter(isLong), ...sorted.filter((file) => !isLong(file))]
  }
}
