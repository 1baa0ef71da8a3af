/**
 * A symmetric matrix with all entries within `halfBand` of the diagonal, kept as its lower half row by row:
 * entry (row, column) with row - halfBand <= column <= row lies at row * (halfBand + 1) + column - row + halfBand.
 * Own code: a general library took some nine times as long for the moments of one beam (bench/statics-beam.ts), and such libraries
 * call Math functions that differ between engines.
 */
export type SymmetricBand = { readonly order: number; readonly halfBand: number; readonly values: number[] };

/**
 * Zeros in a plain array: below a few hundred entries it is made several times faster than a Float64Array, whose memory lies outside
 * the heap, and a beam is solved in microseconds.
 */
export const zeros = (count: number): number[] => new Array<number>(count).fill(0);

export function zeroBand(order: number, halfBand: number): SymmetricBand {
  return { order, halfBand, values: zeros(order * (halfBand + 1)) };
}

/** Adds to entry (a, b) and so, by symmetry, to (b, a). Outside the band is a bug. */
export function addToBand(band: SymmetricBand, a: number, b: number, value: number): void {
  const row = Math.max(a, b);
  const column = Math.min(a, b);
  if (row - column > band.halfBand || row >= band.order) throw new RangeError(`(${a}, ${b}) lies outside the band`);
  const at = row * (band.halfBand + 1) + column - row + band.halfBand;
  band.values[at] = (band.values[at] ?? 0) + value;
}

/**
 * Factors in place as L·D·Lᵀ (no exchange of rows: the matrices here are positive definite, or the structure moves freely).
 * @returns the smallest pivot relative to the diagonal entry it came from: 1 for a diagonal matrix, about the reciprocal of the
 *   condition number of the scaled matrix at worst, and 0 or less when the matrix is not positive definite
 * @source Cholesky's method without square roots
 */
export function factorBand({ order, halfBand, values }: SymmetricBand): number {
  const width = halfBand + 1;
  let smallest = 1;
  for (let row = 0; row < order; row++) {
    const rowAt = row * width + halfBand - row;
    const first = Math.max(0, row - halfBand);
    const diagonal = values[rowAt + row] ?? 0;
    if (!(diagonal > 0) || diagonal === Infinity) return 0;
    let pivot = diagonal;
    for (let column = first; column < row; column++) {
      const columnAt = column * width + halfBand - column;
      let sum = values[rowAt + column] ?? 0;
      for (let k = Math.max(first, column - halfBand); k < column; k++) sum -= (values[rowAt + k] ?? 0) * (values[columnAt + k] ?? 0);
      values[rowAt + column] = sum; // L·D for now: the next columns of this row need it so
    }
    for (let column = first; column < row; column++) {
      const scaled = values[rowAt + column] ?? 0;
      const lower = scaled / (values[column * width + halfBand] ?? 1);
      values[rowAt + column] = lower;
      pivot -= lower * scaled;
    }
    values[rowAt + row] = pivot;
    const relative = pivot / diagonal;
    if (!(relative > 0)) return 0;
    if (relative < smallest) smallest = relative;
  }
  return smallest;
}

/** Solves in place for one right-hand side, with a matrix that `factorBand` has factored. */
export function solveBand({ order, halfBand, values }: SymmetricBand, rightSide: number[]): void {
  const width = halfBand + 1;
  for (let row = 0; row < order; row++) {
    const rowAt = row * width + halfBand - row;
    let sum = rightSide[row] ?? 0;
    for (let k = Math.max(0, row - halfBand); k < row; k++) sum -= (values[rowAt + k] ?? 0) * (rightSide[k] ?? 0);
    rightSide[row] = sum;
  }
  for (let row = order - 1; row >= 0; row--) {
    let sum = (rightSide[row] ?? 0) / (values[row * width + halfBand] ?? 1);
    for (let k = row + 1; k <= Math.min(order - 1, row + halfBand); k++) {
      sum -= (values[k * width + halfBand - k + row] ?? 0) * (rightSide[k] ?? 0);
    }
    rightSide[row] = sum;
  }
}

/** The matrix, not factored, times a vector. */
export function bandTimes({ order, halfBand, values }: SymmetricBand, vector: readonly number[]): number[] {
  const product = zeros(order);
  for (let row = 0; row < order; row++) {
    const rowAt = row * (halfBand + 1) + halfBand - row;
    for (let column = Math.max(0, row - halfBand); column < row; column++) {
      const value = values[rowAt + column] ?? 0;
      product[row] = (product[row] ?? 0) + value * (vector[column] ?? 0);
      product[column] = (product[column] ?? 0) + value * (vector[row] ?? 0);
    }
    product[row] = (product[row] ?? 0) + (values[rowAt + row] ?? 0) * (vector[row] ?? 0);
  }
  return product;
}

/** Takes an unknown out: its row and column become zero but for the diagonal, which keeps its size so that scaling stays as it was. */
export function clearFromBand({ order, halfBand, values }: SymmetricBand, index: number): void {
  const width = halfBand + 1;
  for (let other = Math.max(0, index - halfBand); other <= Math.min(order - 1, index + halfBand); other++) {
    if (other !== index) values[Math.max(index, other) * width + Math.min(index, other) - Math.max(index, other) + halfBand] = 0;
  }
}
