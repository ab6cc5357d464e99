/** What the trade knows, for everyone above it. */
export * from './catalogue'
export * from './cautions'
export * from './lives'
export * from './restart-order'
export * from './targets'
export * from './water-units'
