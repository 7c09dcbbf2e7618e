// What lies under the pointer in the picture: points and chains of points projected with one matrix.

/** Projection times view, column by column as WebGL takes it, and the picture's size in CSS pixels. */
export interface Screen {
  readonly matrix: ArrayLike<number>;
  readonly width: number;
  readonly height: number;
}

/** The same picture for points that are counted from `origin`. */
export function movedScreen(
  { matrix: m, width, height }: Screen,
  [x, y, z]: readonly [number, number, number],
): Screen {
  const matrix = Array.from(m);
  for (let c = 0; c < 4; c++) matrix[12 + c] = m[c] * x + m[4 + c] * y + m[8 + c] * z + m[12 + c];
  return { matrix, width, height };
}

/** Writes x, y in pixels from the top left and the depth in clip space (-1 near, 1 far) to `out`; false behind the eye. */
export function project(screen: Screen, x: number, y: number, z: number, out: Float64Array, at = 0): boolean {
  const m = screen.matrix;
  const w = m[3] * x + m[7] * y + m[11] * z + m[15];
  if (!(w > 1e-9)) return false;
  out[at] = (0.5 + (m[0] * x + m[4] * y + m[8] * z + m[12]) / w / 2) * screen.width;
  out[at + 1] = (0.5 - (m[1] * x + m[5] * y + m[9] * z + m[13]) / w / 2) * screen.height;
  out[at + 2] = (m[2] * x + m[6] * y + m[10] * z + m[14]) / w;
  return true;
}

/** Where a chain comes close to the pointer. */
export interface ChainHit {
  /** Index of the chain. */
  readonly chain: number;
  /** Pixels from the pointer. */
  readonly distance: number;
  /** Point on the chain, mm. */
  readonly point: readonly [number, number, number];
  /** Depth in clip space. */
  readonly depth: number;
}

/**
 * Chains (points 3 x n each) that pass the pointer within `tolerance` pixels, one hit for each, the closest first. Of two that are
 * equally close to half a pixel the nearer to the eye comes first.
 */
export function chainsNear(
  screen: Screen,
  chains: readonly ArrayLike<number>[],
  x: number,
  y: number,
  tolerance: number,
): ChainHit[] {
  const hits: ChainHit[] = [];
  const ends = new Float64Array(6);
  chains.forEach((points, chain) => {
    let best: ChainHit | null = null;
    let known = false;
    for (let k = 0; k < points.length; k += 3) {
      ends.copyWithin(0, 3, 6);
      const before = known;
      known = project(screen, points[k], points[k + 1], points[k + 2], ends, 3);
      if (!before || !known) continue;
      const dx = ends[3] - ends[0];
      const dy = ends[4] - ends[1];
      const square = dx * dx + dy * dy;
      const share = square > 0 ? Math.min(1, Math.max(0, ((x - ends[0]) * dx + (y - ends[1]) * dy) / square)) : 0;
      const distance = Math.hypot(ends[0] + share * dx - x, ends[1] + share * dy - y);
      if (distance > tolerance || (best !== null && distance >= best.distance)) continue;
      const f = spaceShare(screen, points, k, share);
      const along = (c: number) => points[k - 3 + c] + f * (points[k + c] - points[k - 3 + c]);
      const depth = ends[2] + share * (ends[5] - ends[2]);
      best = { chain, distance, point: [along(0), along(1), along(2)], depth };
    }
    if (best !== null) hits.push(best);
  });
  const rank = (hit: ChainHit) => Math.round(hit.distance * 2);
  return hits.sort((a, b) => rank(a) - rank(b) || a.depth - b.depth);
}

/** Share of a chord in space from its share in the picture: perspective shortens the far end. */
function spaceShare({ matrix: m }: Screen, points: ArrayLike<number>, k: number, share: number): number {
  const w = (i: number) => m[3] * points[i] + m[7] * points[i + 1] + m[11] * points[i + 2] + m[15];
  const near = w(k - 3);
  const far = w(k);
  return (share * near) / (far + share * (near - far));
}

/** The point (of 3 x n) closest to the pointer within `tolerance` pixels, -1 where there is none; of equals the nearer to the eye. */
export function pointNear(
  screen: Screen,
  points: ArrayLike<number>,
  x: number,
  y: number,
  tolerance: number,
  counts: (index: number) => boolean = () => true,
): number {
  const at = new Float64Array(3);
  let best = -1;
  let least = tolerance;
  let depth = Number.POSITIVE_INFINITY;
  for (let k = 0; k < points.length / 3; k++) {
    if (!counts(k) || !project(screen, points[3 * k], points[3 * k + 1], points[3 * k + 2], at)) continue;
    const distance = Math.hypot(at[0] - x, at[1] - y);
    const tie = Math.abs(distance - least) < 0.5 && best >= 0;
    if (tie ? at[2] >= depth : distance > least) continue;
    best = k;
    least = Math.min(least, distance);
    depth = at[2];
  }
  return best;
}
