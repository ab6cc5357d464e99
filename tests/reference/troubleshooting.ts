/**
 * Troubleshooting with one fault and independent minutes. Model and theorem: Kalagnanam & Henrion (1988), "A comparison of decision analysis and expert rules for sequential diagnosis", UAI-4;
 * Heckerman, Breese & Rommelse (1995), "Decision-theoretic troubleshooting", CACM 38(3): 49–57. Figures by brute force over all orders in R. Causes are numbered from 1, as in the sources.
 * `worst` is the most expensive order, `byProbability` the cost of going by probability alone.
 */
export const TROUBLESHOOTING = [
  {
    probability: [0.4, 0.3, 0.2, 0.1],
    minutes: [10, 2, 5, 1],
    orders: [
      [2, 4, 1, 3],
      [2, 4, 3, 1],
    ],
    cost: 9.7,
    worst: 14,
    byProbability: 12.8,
  },
  {
    probability: [0.5, 0.25, 0.25],
    minutes: [20, 10, 10],
    orders: [
      [1, 2, 3],
      [1, 3, 2],
      [2, 1, 3],
      [2, 3, 1],
      [3, 1, 2],
      [3, 2, 1],
    ],
    cost: 27.5,
    worst: 27.5,
    byProbability: 27.5,
  },
  {
    probability: [0.35, 0.25, 0.2, 0.12, 0.08],
    minutes: [15, 4, 12, 2, 1],
    orders: [[5, 2, 4, 1, 3]],
    cost: 16.67,
    worst: 26.3,
    byProbability: 22.88,
  },
  {
    probability: [0.3, 0.25, 0.2, 0.1, 0.1, 0.05],
    minutes: [12, 30, 5, 2, 9, 1],
    orders: [
      [4, 6, 3, 1, 5, 2],
      [6, 4, 3, 1, 5, 2],
    ],
    cost: 25.6,
    worst: 46.65,
    byProbability: 37.15,
  },
  {
    probability: [0.6, 0.3, 0.1],
    minutes: [100, 5, 1],
    orders: [[3, 2, 1]],
    cost: 65.5,
    worst: 102.1,
    byProbability: 102.1,
  },
]
