/** What was said of one container at a visit. Pure. */
export type RecordedLevel = { reservoirId: string; levelBefore: number | null; levelAfter: number | null }

/** Levels said one after the other at a visit: a figure that was not given leaves the one before as it is. */
export function newestLevels(said: readonly RecordedLevel[]): RecordedLevel[] {
  const levels = new Map<string, RecordedLevel>()
  for (const { reservoirId, levelBefore, levelAfter } of said) {
    const known = levels.get(reservoirId)
    levels.set(reservoirId, {
      reservoirId,
      levelBefore: levelBefore ?? known?.levelBefore ?? null,
      levelAfter: levelAfter ?? known?.levelAfter ?? null,
    })
  }
  return [...levels.values()]
}
