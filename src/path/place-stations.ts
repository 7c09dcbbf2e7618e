// Where along a seam its stations stand: evenly between corners, closer where a chord would leave the curve too far
// (a chord of length h over curvature kappa is off by kappa h^2 / 8), with spacings that grow gently.
import { pointAt } from '../geometry/curve.ts';
import { length } from '../geometry/vector.ts';
import type { Curve } from '../model/curve.ts';

/** How much the spacing may grow per length: neighbours differ by a fifth, which difference stencils bear well. */
const GROWTH = 0.2;

/** A closed seam without corners has at least this many stations, or its neighbours could not be told apart. */
const FEWEST_ROUND = 3;

/**
 * Arc lengths of the stations on the seam, mm, increasing: in [0, L) of a closed curve, in [0, L] of an open one. Every
 * corner (`corners`, arc lengths, increasing) and the start carry one. Between them the spacing is L_k / round(L_k /
 * spacing), at least one interval; with `chord` > 0 (mm) it is graded wherever that would exceed sqrt(8 chord / kappa).
 */
export function placeStations(curve: Curve, corners: readonly number[], spacing: number, chord: number): Float64Array {
  const cuts = [0, ...corners.filter((s) => s > 0 && s < curve.length), curve.length];
  const fewest = curve.closed && cuts.length === 2 ? FEWEST_ROUND : 1;
  const stations: number[] = [];
  for (let k = 0; k + 1 < cuts.length; k++) {
    const from = cuts[k];
    const to = cuts[k + 1];
    const intervals = Math.max(fewest, Math.round((to - from) / spacing));
    const graded = chord > 0 ? gradeSection(curve, from, to, (to - from) / intervals, spacing, chord) : null;
    if (graded) stations.push(...graded);
    else for (let i = 0; i < intervals; i++) stations.push(from + ((to - from) * i) / intervals);
  }
  if (!curve.closed) stations.push(curve.length);
  return Float64Array.from(stations);
}

/**
 * Stations of a section in [from, to) that keep the chord error, or null where the even spacing does so already. They
 * stand at equal steps of the integral of ds / h, h(s) the spacing allowed there.
 */
function gradeSection(
  curve: Curve,
  from: number,
  to: number,
  even: number,
  spacing: number,
  chord: number,
): number[] | null {
  const s = probes(curve, from, to, spacing / 2);
  const allowed = allowedSpacing(curve, s, chord);
  if (allowed.every((h) => h >= even)) return null;
  for (let i = 0; i < s.length; i++) allowed[i] = Math.min(allowed[i], spacing);
  for (let i = 1; i < s.length; i++) allowed[i] = Math.min(allowed[i], allowed[i - 1] + GROWTH * (s[i] - s[i - 1]));
  for (let i = s.length - 2; i >= 0; i--) {
    allowed[i] = Math.min(allowed[i], allowed[i + 1] + GROWTH * (s[i + 1] - s[i]));
  }
  const steps = new Float64Array(s.length);
  for (let i = 1; i < s.length; i++) {
    steps[i] = steps[i - 1] + ((s[i] - s[i - 1]) / 2) * (1 / allowed[i] + 1 / allowed[i - 1]);
  }
  const whole = steps[s.length - 1];
  const intervals = Math.max(1, Math.ceil(whole));
  const stations = [from];
  for (let i = 1, at = 0; i < intervals; i++) {
    const wanted = (whole * i) / intervals;
    while (steps[at + 1] < wanted) at++;
    stations.push(s[at] + ((s[at + 1] - s[at]) * (wanted - steps[at])) / (steps[at + 1] - steps[at]));
  }
  return stations;
}

/** Places to look at the curvature: an even grid, and three within every span of the curve, however short. */
function probes(curve: Curve, from: number, to: number, step: number): Float64Array {
  const all = [from, to];
  const count = Math.ceil((to - from) / step);
  for (let i = 1; i < count; i++) all.push(from + ((to - from) * i) / count);
  for (const { arc } of curve.pieces) {
    for (let j = 0; j + 1 < arc.length; j++) {
      for (const part of [0.001, 0.5, 0.999]) {
        const s = arc[j] + part * (arc[j + 1] - arc[j]);
        if (s > from && s < to) all.push(s);
      }
    }
  }
  return Float64Array.from(new Set(all)).sort();
}

/** Spacing that the chord error allows at each place. */
function allowedSpacing(curve: Curve, s: Float64Array, chord: number): Float64Array {
  const at = new Float64Array(9);
  return s.map((x) => {
    pointAt(curve, x, at);
    return Math.sqrt((8 * chord) / length(at, 6));
  });
}
