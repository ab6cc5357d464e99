export { seededRandom } from '@/lib/science/seeded-random'
