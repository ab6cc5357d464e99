export * from './diagnosis'
export * from './reliability'
export { seededRandom } from './seeded-random'
export * from './stock'
