/** Failures of ten pumps and their time in thousands of hours: Gaver & O'Muircheartaigh 1987, Technometrics 29: 1–15. */
export const PUMPS = [
  [5, 94.32],
  [1, 15.72],
  [5, 62.88],
  [14, 125.76],
  [3, 5.24],
  [19, 31.44],
  [1, 1.048],
  [1, 1.048],
  [4, 2.096],
  [22, 10.48],
].map(([count = 0, exposure = 0]) => ({ count, exposure }))
