/** What the trade knows, for everyone above it. */
export * from './catalogue'
export * from './cautions'
export * from './lives'
