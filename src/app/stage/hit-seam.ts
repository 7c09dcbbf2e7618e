// Which point of which seam lies under the pointer, and what the shown quantity is there.
import type { SeamView } from '../../output/view/plan-view.ts';
import { type Quantity, valueAtRow } from './quantities.ts';
import { isWelded } from './ribbon-mesh.ts';
import { pointNear, project, type Screen } from './screen-space.ts';

export interface SeamHit {
  readonly seam: number;
  readonly row: number;
  readonly value: number;
  /** mm from the scene's centre. */
  readonly point: readonly [number, number, number];
}

/** Least reach of the pointer, pixels: thin ribbons stay easy to hit. */
const LEAST_REACH = 7;

/** At most one hit for each seam, the one that the cursor is on first. */
export function hitSeam(
  screen: Screen,
  seams: readonly SeamView[],
  quantities: readonly (Quantity | null)[],
  x: number,
  y: number,
  active: number,
): SeamHit[] {
  const hits = seams.flatMap((seam, k) => {
    const quantity = quantities[k] ?? null;
    const hit =
      quantity?.on === 'ribbon' ? onRibbon(screen, seam, quantity, x, y) : onRows(screen, seam, quantity, x, y);
    return hit === null ? [] : [{ seam: k, ...hit }];
  });
  return hits.sort((a, b) => Number(b.seam === active) - Number(a.seam === active));
}

type Found = Omit<SeamHit, 'seam'>;

function onRows(screen: Screen, seam: SeamView, quantity: Quantity | null, x: number, y: number): Found | null {
  const row = rowUnder(screen, seam, x, y);
  if (row < 0) return null;
  return {
    row,
    value: quantity === null ? Number.NaN : valueAtRow(quantity, seam, row),
    point: point(seam.joint, row),
  };
}

function rowUnder(screen: Screen, seam: SeamView, x: number, y: number): number {
  // Welded rows first: run-in and run-out lie over them on a closed seam.
  const reach = reachOf(screen, seam);
  const welded = pointNear(screen, seam.joint, x, y, reach, (row) => isWelded(seam, row));
  return welded >= 0 ? welded : pointNear(screen, seam.joint, x, y, LEAST_REACH);
}

/** Half the ribbon's width in pixels, where it is nearest, and no less than what a hand can do. */
function reachOf(screen: Screen, seam: SeamView): number {
  const at = new Float64Array(6);
  let most = 0;
  const step = Math.max(1, Math.floor(seam.count / 24));
  for (let row = 0; row < seam.count; row += step) {
    const k = 3 * row;
    const [px, py, pz] = point(seam.joint, row);
    const half = seam.width / 2;
    const b = [0, 1, 2].map((c) => {
      const [d, e] = [(c + 1) % 3, (c + 2) % 3];
      return seam.normal[k + d] * seam.tangent[k + e] - seam.normal[k + e] * seam.tangent[k + d];
    });
    if (!project(screen, px, py, pz, at, 0)) continue;
    if (!project(screen, px + half * b[0], py + half * b[1], pz + half * b[2], at, 3)) continue;
    most = Math.max(most, Math.hypot(at[3] - at[0], at[4] - at[1]));
  }
  return Math.max(LEAST_REACH, Math.min(most, 60));
}

function onRibbon(screen: Screen, seam: SeamView, quantity: Quantity, x: number, y: number): Found | null {
  const { ribbon } = seam;
  if (ribbon === null) return null;
  const known = (k: number) => Number.isFinite(quantity.values[k]);
  const k = pointNear(screen, ribbon.position, x, y, LEAST_REACH + 3, known);
  if (k < 0) return onRows(screen, seam, null, x, y);
  const station = Math.floor(k / ribbon.across);
  const row = seam.phase.findIndex((_, r) => ribbon.stationOfRow[r] === station && isWelded(seam, r));
  return row < 0 ? null : { row, value: quantity.values[k], point: point(ribbon.position, k) };
}

const point = (points: Float32Array, k: number): readonly [number, number, number] => [
  points[3 * k],
  points[3 * k + 1],
  points[3 * k + 2],
];
