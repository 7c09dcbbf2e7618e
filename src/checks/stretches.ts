// Stretches of seam on which something is out of order: runs of grid points, merged over short interruptions and, on a
// closed seam, over its start.

/** Interruptions up to this length do not end a stretch, mm. */
const BRIDGE = 1;

export interface Stretch {
  /** Arc length of its first and last point, mm; beyond the period where it crosses the start. */
  readonly from: number;
  readonly to: number;
  /** Its grid points that are out of order, first to last. */
  readonly points: readonly number[];
}

/** Stretches of the points of `s` (mm, increasing) for which `out` holds; `period` is the length of a closed seam, else 0. */
export function findStretches(s: Float64Array, period: number, out: (i: number) => boolean): Stretch[] {
  const found: { from: number; to: number; points: number[] }[] = [];
  for (let i = 0; i < s.length; i++) {
    if (!out(i)) continue;
    const last = found.at(-1);
    if (last && (last.points.at(-1) === i - 1 || s[i] - last.to <= BRIDGE)) {
      last.points.push(i);
      last.to = s[i];
    } else {
      found.push({ from: s[i], to: s[i], points: [i] });
    }
  }
  const first = found[0];
  const last = found.at(-1);
  if (period === 0 || !first || !last) return found;
  const touchesStart = first.points[0] === 0 && last.points.at(-1) === s.length - 1;
  if (!touchesStart && first.from + period - last.to > BRIDGE) return found;
  if (first === last) return [{ ...first, from: 0, to: period }];
  const joined = { from: last.from, to: first.to + period, points: [...last.points, ...first.points] };
  return [...found.slice(1, -1), joined];
}

/** Point of a stretch with the largest `badness`; points without a number count least. */
export function worstPoint(stretch: Stretch, badness: (i: number) => number): number {
  let worst = stretch.points[0];
  for (const i of stretch.points) if (badness(i) > badness(worst) || Number.isNaN(badness(worst))) worst = i;
  return worst;
}
