export * from './reliability'
