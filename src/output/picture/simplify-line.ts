// Fewer points for the same line: Douglas & Peucker (1973).

/** Points x, y, x, y .. of which those within `tolerance` of the line through the kept ones are left out. */
export function simplifyLine(points: ArrayLike<number>, tolerance: number): number[] {
  const count = points.length / 2;
  if (count < 3) return Array.from(points);
  const keep = new Uint8Array(count);
  keep[0] = 1;
  keep[count - 1] = 1;
  const open = [0, count - 1];
  while (open.length > 0) {
    const last = open.pop() as number;
    const first = open.pop() as number;
    const { index, distance } = farthest(points, first, last);
    if (distance <= tolerance) continue;
    keep[index] = 1;
    open.push(first, index, index, last);
  }
  const out: number[] = [];
  for (let k = 0; k < count; k++) if (keep[k] === 1) out.push(points[2 * k], points[2 * k + 1]);
  return out;
}

/** The same for a ring whose first point is not repeated. */
export function simplifyRing(points: readonly number[], tolerance: number): number[] {
  const count = points.length / 2;
  if (count < 4) return [...points];
  // Split at the point farthest from the first: both halves then have ends that the ring surely keeps.
  let opposite = 1;
  let most = -1;
  for (let k = 1; k < count; k++) {
    const d = (points[2 * k] - points[0]) ** 2 + (points[2 * k + 1] - points[1]) ** 2;
    if (d > most) {
      most = d;
      opposite = k;
    }
  }
  const there = simplifyLine(points.slice(0, 2 * opposite + 2), tolerance);
  const back = simplifyLine([...points.slice(2 * opposite), points[0], points[1]], tolerance);
  return [...there, ...back.slice(2, -2)];
}

function farthest(p: ArrayLike<number>, first: number, last: number): { index: number; distance: number } {
  const ax = p[2 * first];
  const ay = p[2 * first + 1];
  const dx = p[2 * last] - ax;
  const dy = p[2 * last + 1] - ay;
  const square = dx * dx + dy * dy;
  let index = first;
  let most = -1;
  for (let k = first + 1; k < last; k++) {
    const x = p[2 * k] - ax;
    const y = p[2 * k + 1] - ay;
    const f = square > 0 ? Math.min(1, Math.max(0, (x * dx + y * dy) / square)) : 0;
    const d = (x - f * dx) ** 2 + (y - f * dy) ** 2;
    if (d > most) {
      most = d;
      index = k;
    }
  }
  return { index, distance: Math.sqrt(Math.max(0, most)) };
}
