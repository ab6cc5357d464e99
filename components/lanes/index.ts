export type { LaneBandPoint, LaneMark, LaneView, MarkKind } from './lane-view'
export { LanesChart, type LanesChartProps } from './lanes-chart'
