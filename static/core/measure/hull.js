/** Whether a set of points on the floor surrounds a spot. */

/** @typedef {[number, number]} XY */

/**
 * Whether the spot lies inside the convex hull of the points, or on its edge.
 * @param {XY[]} points that span an area; the caller has made sure of that
 * @param {XY} spot
 */
export function surrounds(points, spot) {
  const corners = convexHull(points);
  const size = Math.max(...[...corners, spot].map(([x, y]) => Math.abs(x) + Math.abs(y)));
  const slack = 1e-12 * size * size;
  return corners.every((corner, index) => turn(corner, corners[(index + 1) % corners.length], spot) >= -slack);
}

/**
 * The corners of the convex hull, counter-clockwise (Andrew's monotone chain).
 * @param {XY[]} points
 * @returns {XY[]}
 */
export function convexHull(points) {
  const sorted = [...points].sort(([ax, ay], [bx, by]) => ax - bx || ay - by);
  const ordered = sorted.filter(([x, y], index) => !index || x !== sorted[index - 1][0] || y !== sorted[index - 1][1]);
  if (ordered.length < 2) return ordered;
  return [...chain(ordered).slice(0, -1), ...chain([...ordered].reverse()).slice(0, -1)];
}

/**
 * @param {XY[]} ordered
 * @returns {XY[]}
 */
function chain(ordered) {
  /** @type {XY[]} */
  const made = [];
  for (const point of ordered) {
    while (made.length >= 2 && turn(made[made.length - 2], made[made.length - 1], point) <= 0) made.pop();
    made.push(point);
  }
  return made;
}

/**
 * Twice the area of the triangle a, b, c: positive where the way a, b, c turns left.
 * @param {XY} a @param {XY} b @param {XY} c
 */
function turn(a, b, c) {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
}
