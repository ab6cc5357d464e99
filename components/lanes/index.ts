export type { LaneMark, LaneView, MarkKind } from './lane-view'
export { LanesChart } from './lanes-chart'
