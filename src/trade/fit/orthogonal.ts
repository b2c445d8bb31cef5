/**
 * Small dense least squares by Householder reflections: a tall matrix turned into a triangle, and what is solved with it.
 *
 * The triangle is never squared into normal equations, so that half of the digits are not lost on the way.
 */

/** A matrix by columns: `columns[j][i]` is row i of column j. */
export type Columns = readonly Float64Array[];

/** An upper triangle with what became of the right-hand side, both by the same reflections. */
export interface Triangle {
  /** `columns[j][i]` for i ≤ j; what lies below is not to be read. */
  readonly columns: Columns;
  /** The right-hand side, reflected: its first entries belong to the triangle, the rest is what no solution takes away. */
  readonly right: Float64Array;
}

/** Reflects a matrix of at least as many rows as columns, and its right-hand side, into a triangle. Takes copies. */
export function triangleOf(matrix: Columns, side: Float64Array): Triangle {
  const columns = matrix.map((column) => Float64Array.from(column));
  const right = Float64Array.from(side);
  const rows = right.length;
  columns.forEach((column, j) => {
    const norm = lengthOf(column.subarray(j));
    if (norm === 0) return;
    const head = column[j] as number;
    const pivot = head > 0 ? -norm : norm;
    // The reflection maps the column from row j on to (pivot, 0, 0 …); `column` keeps its direction for the others.
    column[j] = head - pivot;
    const scale = -pivot * (column[j] as number);
    for (const other of [...columns.slice(j + 1), right]) {
      let along = 0;
      for (let i = j; i < rows; i++) along += (column[i] as number) * (other[i] as number);
      along /= scale;
      for (let i = j; i < rows; i++) other[i] = (other[i] as number) - along * (column[i] as number);
    }
    column[j] = pivot;
  });
  return { columns, right };
}

/** Solves triangle × x = right from the last row up. An entry on the diagonal must not be zero. */
export function solveUpward({ columns, right }: Triangle): Float64Array {
  const solution = right.slice(0, columns.length);
  for (let j = columns.length - 1; j >= 0; j--) {
    const column = columns[j] as Float64Array;
    const value = (solution[j] as number) / (column[j] as number);
    solution[j] = value;
    for (let i = 0; i < j; i++) solution[i] = (solution[i] as number) - value * (column[i] as number);
  }
  return solution;
}

/** Solves (transpose of the triangle) × x = side from the first row down. */
export function solveDownward(columns: Columns, side: Float64Array): Float64Array {
  const solution = side.slice();
  columns.forEach((column, j) => {
    let sum = solution[j] as number;
    for (let i = 0; i < j; i++) sum -= (column[i] as number) * (solution[i] as number);
    solution[j] = sum / (column[j] as number);
  });
  return solution;
}

/** The length of a vector; its entries are far below the 10¹⁵⁰ whose squares would be too large. */
export function lengthOf(vector: ArrayLike<number>): number {
  let squares = 0;
  for (let i = 0; i < vector.length; i++) squares += (vector[i] as number) ** 2;
  return Math.sqrt(squares);
}

/** (Rᵀ R)⁻¹ of a triangle R: the covariance of a least-squares solution, but for the variance of one observation. */
export function inverseOfSquare(columns: Columns): number[][] {
  const size = columns.length;
  // Column j of R⁻¹ solves R x = e_j.
  const inverse = columns.map((_, j) => {
    const unit = new Float64Array(size);
    unit[j] = 1;
    return solveUpward({ columns, right: unit });
  });
  return columns.map((_, row) =>
    columns.map((_, column) => {
      let sum = 0;
      for (const part of inverse) sum += (part[row] as number) * (part[column] as number);
      return sum;
    }),
  );
}

/** vᵀ M v of a symmetric matrix: the variance of v · x where M is the covariance of x. */
export function quadraticForm(matrix: readonly (readonly number[])[], vector: ArrayLike<number>): number {
  let sum = 0;
  matrix.forEach((row, i) => {
    row.forEach((entry, j) => {
      sum += (vector[i] as number) * entry * (vector[j] as number);
    });
  });
  return sum;
}
