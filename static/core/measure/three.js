/** Three equations in three unknowns. */

/**
 * The x of matrix · x = right, by Gaussian elimination with the largest pivot first.
 * @param {number[][]} matrix @param {number[]} right
 */
export function solve(matrix, right) {
  const rows = matrix.map((row, index) => [...row, right[index]]);
  for (let column = 0; column < 3; column += 1) {
    const below = rows.slice(column).map((row) => Math.abs(row[column]));
    const pivot = column + below.indexOf(Math.max(...below));
    [rows[column], rows[pivot]] = [rows[pivot], rows[column]];
    for (let row = column + 1; row < 3; row += 1) {
      const share = rows[row][column] / rows[column][column];
      rows[row] = rows[row].map((value, index) => value - share * rows[column][index]);
    }
  }
  const z = rows[2][3] / rows[2][2];
  const y = (rows[1][3] - rows[1][2] * z) / rows[1][1];
  return [(rows[0][3] - rows[0][1] * y - rows[0][2] * z) / rows[0][0], y, z];
}

/**
 * The diagonal of the matrix's inverse.
 * @param {number[][]} matrix
 */
export function inverseDiagonal(matrix) {
  return [solve(matrix, [1, 0, 0])[0], solve(matrix, [0, 1, 0])[1], solve(matrix, [0, 0, 1])[2]];
}
