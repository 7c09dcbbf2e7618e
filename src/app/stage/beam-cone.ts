// The beam at one row, true to scale: from the exit of the head, where it is widest, through the point of entry to the spot on the
// joint. Radii run straight from exit to joint.
import type { SeamView } from '../../output/view/plan-view.ts';

/** Points round each ring. */
export const RING = 48;

export interface ConeRings {
  /** Rings from the head to the joint, 3 x RING each. */
  readonly rings: readonly Float32Array[];
  /** Middle of each ring and its radius, mm. */
  readonly centres: readonly (readonly [number, number, number])[];
  readonly radii: readonly number[];
}

/** Null where the head or the joint of that row is unknown. */
export function coneRings(seam: SeamView, row: number): ConeRings | null {
  const at = (points: Float32Array): [number, number, number] => [
    points[3 * row],
    points[3 * row + 1],
    points[3 * row + 2],
  ];
  const head = at(seam.head);
  const joint = at(seam.joint);
  const entry = at(seam.entry);
  if (![...head, ...joint].every(Number.isFinite)) return null;
  const way = (a: readonly number[], b: readonly number[]) => Math.hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]);
  const known = entry.every(Number.isFinite);
  const centres = known ? [head, entry, joint] : [head, joint];
  const total = known ? way(head, entry) + way(entry, joint) : way(head, joint);
  const spot = Number.isFinite(seam.spotRadius[row]) ? seam.spotRadius[row] : 0;
  const radii = centres.map((_, k) => {
    const done = k === 0 ? 0 : k === centres.length - 1 ? 1 : way(head, entry) / total;
    return seam.exitRadius + done * (spot - seam.exitRadius);
  });
  const axis = at(seam.axis);
  const [u, v] = crossAxes(axis);
  // The spot lies in the plane of the joint.
  const [p, q] = crossAxes(opposite(at(seam.normal)));
  const rings = centres.map((centre, k) => {
    const [a, b] = k === centres.length - 1 ? [p, q] : [u, v];
    return ring(centre, radii[k], a, b, a === p ? phaseOf(u, p, q) : 0);
  });
  return { rings, centres, radii };
}

type Vector = readonly [number, number, number];

const opposite = ([x, y, z]: Vector): Vector => [-x, -y, -z];

/** Two unit vectors square to `axis` and to each other. */
export function crossAxes(axis: Vector): [Vector, Vector] {
  const size = Math.hypot(...axis) || 1;
  const n: Vector = [axis[0] / size, axis[1] / size, axis[2] / size];
  const pole: Vector = Math.abs(n[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0];
  const u = cross(pole, n);
  const length = Math.hypot(...u);
  const unit: Vector = [u[0] / length, u[1] / length, u[2] / length];
  return [unit, cross(n, unit)];
}

const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** Angle at which `u` stands between `p` and `q`: rings that begin there do not twist the cone. */
function phaseOf(u: Vector, p: Vector, q: Vector): number {
  const dot = (a: Vector, b: Vector) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
  return Math.atan2(dot(u, q), dot(u, p));
}

function ring(centre: Vector, radius: number, u: Vector, v: Vector, phase: number): Float32Array {
  const out = new Float32Array(3 * RING);
  for (let k = 0; k < RING; k++) {
    const angle = phase + (2 * Math.PI * k) / RING;
    const [x, y] = [radius * Math.cos(angle), radius * Math.sin(angle)];
    for (let c = 0; c < 3; c++) out[3 * k + c] = centre[c] + x * u[c] + y * v[c];
  }
  return out;
}
