export * from './reliability'
export * from './stock'
