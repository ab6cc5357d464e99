import { classWords, modeWords } from '../lanes/lane-views'

export type FaultRow = {
  tankId: string
  tankName: string
  clientName: string
  equipmentClass: string
  failureMode: string
  className: string
  modeWords: string
  observed: number
  expected: number
  rateRatio: number
  ratioLower: number
  ratioUpper: number
  probabilityAbove: number
  pValue: number
  sure: boolean
  overdispersed: boolean
  rank: number
  modelVersion: number
}

type Stored = Omit<FaultRow, 'tankName' | 'clientName' | 'className' | 'modeWords' | 'sure'> & {
  isSure: boolean
  tank: { name: string; client: { name: string } }
}

/** What to read beside a stored fault to name its tank. */
export const WITH_TANK = { tank: { select: { name: true, client: { select: { name: true } } } } } as const

/** A stored repeat fault with the words of this business. */
export function faultRow(fault: Stored, names: ReadonlyMap<string, string>): FaultRow {
  const { tank, isSure, ...figures } = fault
  return {
    ...figures,
    sure: isSure,
    tankName: tank.name,
    clientName: tank.client.name,
    className: classWords(fault.equipmentClass, names),
    modeWords: modeWords(fault.failureMode, names),
  }
}
