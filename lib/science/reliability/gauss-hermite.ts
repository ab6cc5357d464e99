/** Nodes and weights for ∫ f(x) e^(−x²) dx. */
export type Quadrature = { nodes: number[]; weights: number[] }

/**
 * Gauss–Hermite rule of a given size, by Newton's method on the orthonormal Hermite polynomials.
 * Domain: size 1 to 40. Source: DLMF 3.5(v); Abramowitz & Stegun 25.4.46 (tables to compare).
 * @example gaussHermite(2).nodes // [-0.7071, 0.7071]
 */
export function gaussHermite(size: number): Quadrature {
  const nodes: number[] = []
  const weights: number[] = []
  // Orthonormal recurrence h₀ = π^(−1/4), h_{n+1} = x √(2/(n+1)) h_n − √(n/(n+1)) h_{n−1}; the derivative of h_n is √(2n) h_{n−1}.
  const polynomial = (x: number) => {
    let previous = 0
    let current = Math.PI ** -0.25
    for (let n = 0; n < size; n++) {
      const next = x * Math.sqrt(2 / (n + 1)) * current - Math.sqrt(n / (n + 1)) * previous
      previous = current
      current = next
    }
    return { value: current, slope: Math.sqrt(2 * size) * previous }
  }
  // Sign changes on a fine grid bracket every root; all lie within √(2n + 1).
  const reach = Math.sqrt(2 * size + 1)
  const steps = 400 * size
  let last = polynomial(-reach).value
  for (let step = 1; step <= steps; step++) {
    const x = -reach + (2 * reach * step) / steps
    const here = polynomial(x).value
    if (last * here < 0 || here === 0) {
      let root = x - reach / steps
      for (let i = 0; i < 20; i++) {
        const { value, slope } = polynomial(root)
        root -= value / slope
      }
      nodes.push(Math.abs(root) < 1e-12 ? 0 : root)
      weights.push(2 / polynomial(root).slope ** 2)
    }
    last = here === 0 ? -last : here
  }
  return { nodes, weights }
}
