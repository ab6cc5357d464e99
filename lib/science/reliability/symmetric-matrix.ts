/**
 * Cholesky factor of a symmetric matrix (row-major, size × size), lower triangle; null when it is not positive definite.
 * Source: Golub & Van Loan, Matrix Computations, algorithm 4.2.1 (textbook form).
 */
export function cholesky(matrix: Float64Array, size: number): Float64Array | null {
  const factor = new Float64Array(size * size)
  for (let row = 0; row < size; row++) {
    for (let column = 0; column <= row; column++) {
      let sum = matrix[row * size + column] ?? 0
      for (let j = 0; j < column; j++) sum -= (factor[row * size + j] ?? 0) * (factor[column * size + j] ?? 0)
      if (row === column) {
        if (!(sum > 0 && sum < Infinity)) return null
        factor[row * size + row] = Math.sqrt(sum)
      } else factor[row * size + column] = sum / (factor[column * size + column] ?? 1)
    }
  }
  return factor
}

/** Solves (L Lᵀ) x = right for a Cholesky factor L. */
export function solveCholesky(factor: Float64Array, size: number, right: Float64Array): Float64Array {
  const x = Float64Array.from(right)
  for (let row = 0; row < size; row++) {
    let sum = x[row] ?? 0
    for (let j = 0; j < row; j++) sum -= (factor[row * size + j] ?? 0) * (x[j] ?? 0)
    x[row] = sum / (factor[row * size + row] ?? 1)
  }
  for (let row = size - 1; row >= 0; row--) {
    let sum = x[row] ?? 0
    for (let j = row + 1; j < size; j++) sum -= (factor[j * size + row] ?? 0) * (x[j] ?? 0)
    x[row] = sum / (factor[row * size + row] ?? 1)
  }
  return x
}

/** Inverse of a symmetric positive definite matrix; null when it is not. Rows and columns are first scaled to a unit diagonal. */
export function invertSymmetric(matrix: Float64Array, size: number): Float64Array | null {
  const scale = Float64Array.from({ length: size }, (_, i) => 1 / Math.sqrt(matrix[i * size + i] ?? 0))
  const scaled = matrix.map(
    (value, index) => value * (scale[Math.floor(index / size)] ?? 0) * (scale[index % size] ?? 0),
  )
  const factor = cholesky(scaled, size)
  if (!factor) return null
  const inverse = new Float64Array(size * size)
  for (let column = 0; column < size; column++) {
    const unit = new Float64Array(size)
    unit[column] = 1
    const solved = solveCholesky(factor, size, unit)
    for (let row = 0; row < size; row++) {
      inverse[row * size + column] = (solved[row] ?? 0) * (scale[row] ?? 0) * (scale[column] ?? 0)
    }
  }
  return inverse
}
