export * from './reliability'
export { seededRandom } from './seeded-random'
export * from './stock'
export * from './water'
