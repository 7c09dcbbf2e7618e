// The wave pod's rib from its definition alone: plan outline, torus, borders, and the middle between them by geodesics that
// are integrated with the fourth-order Runge-Kutta method. Shares no code with the planner.

/** Torus about an axis along y at height 310, radii 330 and 80; corners of the plan: x, y, radius. mm. */
const HEIGHT = 310;
const MAJOR = 330;
const MINOR = 80;
const CORNERS: readonly (readonly [number, number, number])[] = [
  [-78, -44, 12],
  [38, -44, 45],
  [88, -16, 14],
  [88, 16, 14],
  [38, 44, 45],
  [-78, 44, 12],
];

type Vec = readonly [number, number, number];

const add = (a: Vec, f: number, b: Vec): Vec => [a[0] + f * b[0], a[1] + f * b[1], a[2] + f * b[2]];
const dot = (a: Vec, b: Vec): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Vec, b: Vec): Vec => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const unit = (a: Vec): Vec => add([0, 0, 0], 1 / Math.sqrt(dot(a, a)), a);

export interface PlanPiece {
  readonly length: number;
  /** Position at a share of the piece, and the outward direction, in plan. */
  readonly at: (share: number) => { p: [number, number]; out: [number, number] };
}

/** Pieces of the outline moved outward by `offset`, counter-clockwise, arc and line in turn. */
export function planPieces(offset: number): readonly PlanPiece[] {
  const n = CORNERS.length;
  const arcs = CORNERS.map(([x, y, radius], i) => {
    const [px, py] = CORNERS[(i + n - 1) % n];
    const [nx, ny] = CORNERS[(i + 1) % n];
    const a = Math.atan2(y - py, x - px);
    const b = Math.atan2(ny - y, nx - x);
    const sweep = (b - a + 4 * Math.PI) % (2 * Math.PI);
    const cut = radius * Math.tan(sweep / 2);
    const [ux, uy] = [Math.cos(a), Math.sin(a)];
    return {
      cx: x - cut * ux - radius * uy,
      cy: y - cut * uy + radius * ux,
      r: radius + offset,
      from: a - Math.PI / 2,
      sweep,
    };
  });
  const onArc = (i: number, share: number) => {
    const { cx, cy, r, from, sweep } = arcs[i % n];
    const angle = from + share * sweep;
    const out: [number, number] = [Math.cos(angle), Math.sin(angle)];
    return { p: [cx + r * out[0], cy + r * out[1]] as [number, number], out };
  };
  return arcs.flatMap(({ r, sweep }, i) => {
    const a = onArc(i, 1);
    const b = onArc(i + 1, 0);
    const line = (share: number) => ({
      p: [a.p[0] + share * (b.p[0] - a.p[0]), a.p[1] + share * (b.p[1] - a.p[1])] as [number, number],
      out: a.out,
    });
    return [
      { length: r * sweep, at: (share: number) => onArc(i, share) },
      { length: Math.hypot(b.p[0] - a.p[0], b.p[1] - a.p[1]), at: line },
    ];
  });
}

/** Point of the rib's top over (x, y): the torus's lower inner sheet. */
export function lift(x: number, y: number): Vec {
  const rho = MAJOR - Math.sqrt(MINOR * MINOR - y * y);
  return [x, y, HEIGHT - Math.sqrt(rho * rho - x * x)];
}

/** Normal of the torus at a point on it, up. */
export function topNormal([x, y, z]: Vec): Vec {
  const far = Math.hypot(x, z - HEIGHT);
  const circle: Vec = [(MAJOR * x) / far, 0, HEIGHT + (MAJOR * (z - HEIGHT)) / far];
  return unit(add([x, y, z], -1, circle));
}

/** Acceleration of the geodesic p(s): -(curvature in the direction) n, by the implicit equation of the torus. */
function bend(p: Vec, d: Vec): Vec {
  // F = (sqrt(x^2 + w^2) - R)^2 + y^2 - r^2 with w = z - h; n' . d by a central difference of the normal, step 1e-4.
  const h = 1e-4;
  const change = (dot(topNormal(add(p, h, d)), d) - dot(topNormal(add(p, -h, d)), d)) / (2 * h);
  return add([0, 0, 0], -change, topNormal(p));
}

/** Walks `length` mm along the geodesic from p in direction d, in `steps` steps. */
function shoot(p: Vec, d: Vec, length: number, steps: number): { p: Vec; d: Vec } {
  const h = length / steps;
  let at = { p, d };
  for (let i = 0; i < steps; i++) {
    const k1 = { p: at.d, d: bend(at.p, at.d) };
    const s2 = { p: add(at.p, h / 2, k1.p), d: add(at.d, h / 2, k1.d) };
    const k2 = { p: s2.d, d: bend(s2.p, s2.d) };
    const s3 = { p: add(at.p, h / 2, k2.p), d: add(at.d, h / 2, k2.d) };
    const k3 = { p: s3.d, d: bend(s3.p, s3.d) };
    const s4 = { p: add(at.p, h, k3.p), d: add(at.d, h, k3.d) };
    const k4 = { p: s4.d, d: bend(s4.p, s4.d) };
    const sum = (key: 'p' | 'd'): Vec =>
      add(add(add(add(at[key], h / 6, k1[key]), h / 3, k2[key]), h / 3, k3[key]), h / 6, k4[key]);
    at = { p: sum('p'), d: unit(sum('d')) };
  }
  return at;
}

/** Signed plan distance of (x, y) from the outline's middle, outward, with the piece it is taken from given. */
function planDistance(piece: PlanPiece, x: number, y: number): number {
  // On an arc the centre is where two outward lines meet; on a line any point serves.
  const a = piece.at(0);
  const b = piece.at(1);
  const turn = a.out[0] * b.out[1] - a.out[1] * b.out[0];
  if (Math.abs(turn) < 1e-12) return (x - a.p[0]) * a.out[0] + (y - a.p[1]) * a.out[1];
  const t = ((b.p[0] - a.p[0]) * b.out[1] - (b.p[1] - a.p[1]) * b.out[0]) / turn;
  const [cx, cy] = [a.p[0] + t * a.out[0], a.p[1] + t * a.out[1]];
  return Math.hypot(x - cx, y - cy) - Math.hypot(a.p[0] - cx, a.p[1] - cy);
}

/**
 * In-surface distance from p to the border `offset` mm from the middle of the plan, over the given piece of it: the
 * shortest geodesic, over directions (golden section) and lengths (secant).
 */
export function borderDistance(p: Vec, piece: PlanPiece, offset: number): number {
  const n = topNormal(p);
  const { out } = piece.at(nearestShare(piece, p));
  const side = Math.sign(offset);
  const straight: Vec = [side * out[0], side * out[1], 0];
  const first = unit(add(straight, -dot(straight, n), n));
  const second = cross(n, first);
  const reach = (angle: number): number => {
    const d = add(add([0, 0, 0], Math.cos(angle), first), Math.sin(angle), second);
    const miss = (length: number): number => {
      const [x, y] = shoot(p, d, length, 8).p;
      return side * planDistance(piece, x, y) - Math.abs(offset);
    };
    let [a, b] = [1, 2];
    let fa = miss(a);
    for (let i = 0; i < 30; i++) {
      const fb = miss(b);
      if (Math.abs(fb) < 1e-12 || fb === fa) break;
      [a, fa, b] = [b, fb, b - (fb * (b - a)) / (fb - fa)];
    }
    return b;
  };
  let [low, high] = [-0.2, 0.2];
  for (let i = 0; i < 40; i++) {
    const a = high - 0.618034 * (high - low);
    const b = low + 0.618034 * (high - low);
    if (reach(a) < reach(b)) high = b;
    else low = a;
  }
  return reach((low + high) / 2);
}

function nearestShare(piece: PlanPiece, [x, y]: Vec): number {
  let best = 0;
  for (let i = 0; i <= 400; i++) {
    const d = (share: number): number => Math.hypot(piece.at(share).p[0] - x, piece.at(share).p[1] - y);
    if (d(i / 400) < d(best)) best = i / 400;
  }
  return best;
}

/** Index of the piece of the outline that the plan point is closest to, and how far along it, mm from its nearer end. */
export function pieceOver(p: Vec): { index: number; fromEnd: number } {
  let found = { index: 0, fromEnd: 0 };
  let least = Number.POSITIVE_INFINITY;
  planPieces(0).forEach((piece, index) => {
    const share = nearestShare(piece, p);
    const { p: q } = piece.at(share);
    const d = Math.hypot(q[0] - p[0], q[1] - p[1]);
    if (d < least) {
      least = d;
      found = { index, fromEnd: Math.min(share, 1 - share) * piece.length };
    }
  });
  return found;
}
