// The seam in the drawing: its ribbon, where it starts and which way it runs, the head's axes, marks of its findings.
import { scaleLinear } from 'd3-scale';
import type { SeamPlan } from '../../planner/plan.ts';
import { holdsAt } from '../findings-at-row.ts';
import { label, labelBox, type Places, textWidth } from './label.ts';
import { hasStretch, type NumberedFinding } from './numbered-findings.ts';
import { COLOUR, SEVERITY_COLOUR, severityMark } from './palette.ts';
import { COLOUR_STEPS, colourStep, type Ribbon, stepColour } from './ribbon.ts';
import { simplifyLine } from './simplify-line.ts';
import { element, group, line, pathThrough } from './svg.ts';
import { projected, type View } from './view.ts';

const RIBBON = 6;
/** Distance between hairs along the seam, mm, how few and how many there are, and their length seen from the side, px. */
const HAIR_SPACING = 20;
const FEWEST_HAIRS = 8;
const MOST_HAIRS = 30;
const HAIR = 46;
/** How far on from the start the chevron stands: mm, but not so near on a large part that the start covers it, px. */
const CHEVRON = 9;
const CHEVRON_CLEAR = 24;
/** About as many arc lengths are written along a seam. */
const TICKS = 9;
/** Distances from the seam at which words are tried, px. */
const REACHES = [18, 26, 36, 48, 62, 78] as const;
/** Half width of words that the shortest reach has room for, px. */
const ROOM = 14;

/** The seam number `index` of the plan, on top of the bodies; words of any seam keep off it where `places` has room. */
export function drawSeamLine(
  view: View,
  seam: SeamPlan,
  ribbon: Ribbon,
  index: number,
  findings: readonly NumberedFinding[],
  places: Places,
): string[] {
  const p = projected(view, seam.path.position);
  keepOff(seam, p, places);
  return [...drawHairs(view, seam, p), ...drawRibbon(seam, p, ribbon, index, findings)];
}

/** Its start, its findings and its arc length, on top of all seams. */
export function drawSeamWords(
  view: View,
  seam: SeamPlan,
  findings: readonly NumberedFinding[],
  places: Places,
): string[] {
  const p = projected(view, seam.path.position);
  const draw = outwardPlacer(seam, p, places);
  return [
    ...drawStart(view, seam, p, draw),
    ...findings.filter((f) => hasStretch(f, seam.seam.name)).flatMap((f) => drawMark(seam, f, draw)),
    ...drawTicks(seam, draw),
  ];
}

/** Boxes along the ribbon, about as far apart as it is wide. */
function keepOff(seam: SeamPlan, p: Float64Array, places: Places): void {
  let [x, y] = [Number.NaN, Number.NaN];
  for (const station of stationsInOrder(seam)) {
    const [u, v] = [p[3 * station], p[3 * station + 1]];
    if (Math.abs(u - x) < RIBBON && Math.abs(v - y) < RIBBON) continue;
    [x, y] = [u, v];
    places.avoid({ x: x - RIBBON / 2, y: y - RIBBON / 2, width: RIBBON, height: RIBBON });
  }
}

function drawRibbon(
  seam: SeamPlan,
  p: Float64Array,
  ribbon: Ribbon,
  index: number,
  findings: readonly NumberedFinding[],
): string[] {
  const order = stationsInOrder(seam);
  const stroke = { fill: 'none', 'stroke-linejoin': 'round', 'stroke-linecap': 'round' };
  const whole = simplifyLine(
    order.flatMap((station) => [p[3 * station], p[3 * station + 1]]),
    0.1,
  );
  const d = pathThrough(whole, false);
  const lines = new Map<number, string>();
  let run: number[] = [];
  let step = Number.NaN;
  const flush = (): void => {
    if (run.length >= 4) lines.set(step, (lines.get(step) ?? '') + pathThrough(simplifyLine(run, 0.1), false));
  };
  for (let k = 0; k + 1 < order.length; k++) {
    const [a, b] = [order[k], order[k + 1]];
    const here = colourStep(ribbon, ribbon.values[index][a]);
    if (here !== step) {
      flush();
      run = [p[3 * a], p[3 * a + 1]];
      step = here;
    }
    run.push(p[3 * b], p[3 * b + 1]);
  }
  flush();
  const steps = [...lines.keys()].sort((a, b) => a - b);
  return [
    element('path', { d, ...stroke, stroke: COLOUR.sheet, 'stroke-width': RIBBON + 4 }),
    ...drawStretches(seam, p, order, findings),
    element('path', { d, ...stroke, stroke: COLOUR.ink, 'stroke-width': RIBBON + 1.6 }),
    group(
      { ...stroke, 'stroke-width': RIBBON, 'stroke-linecap': 'butt' },
      steps.map((at) =>
        element('path', {
          d: lines.get(at) as string,
          stroke: at < 0 || at >= COLOUR_STEPS ? COLOUR.sheet : stepColour(at),
        }),
      ),
    ),
  ];
}

/** Borders of the ribbon in the colour of what blocks or warns there. */
function drawStretches(
  seam: SeamPlan,
  p: Float64Array,
  order: readonly number[],
  findings: readonly NumberedFinding[],
): string[] {
  const { s, closed, length } = seam.path;
  // What blocks is painted over what warns.
  const shown = findings.filter((f) => hasStretch(f, seam.seam.name) && f.finding.severity !== 'notes').toReversed();
  return shown.flatMap(({ finding }) => {
    let d = '';
    let run: number[] = [];
    const flush = (): void => {
      d += pathThrough(simplifyLine(run, 0.1), false);
      run = [];
    };
    for (const station of order) {
      if (holdsAt(finding, s[station], true, closed, length)) run.push(p[3 * station], p[3 * station + 1]);
      else flush();
    }
    flush();
    const look = { fill: 'none', 'stroke-linejoin': 'round', 'stroke-width': RIBBON + 7 };
    return d === '' ? [] : [element('path', { d, ...look, stroke: SEVERITY_COLOUR[finding.severity] })];
  });
}

/** Stations on the seam in order; a closed seam comes back to its first. */
function stationsInOrder({ path }: SeamPlan): number[] {
  const order: number[] = [];
  for (let k = 0; k < path.count; k++) if (path.onSeam[k] === 1) order.push(k);
  if (path.closed && order.length > 0) order.push(order[0]);
  return order;
}

function drawHairs(view: View, { path, aim }: SeamPlan, p: Float64Array): string[] {
  const count = Math.max(FEWEST_HAIRS, Math.min(MOST_HAIRS, Math.round(path.length / HAIR_SPACING)));
  const out: string[] = [];
  for (let k = 0; k < count; k++) {
    const station = stationAt(path.s, ((k + (path.closed ? 0 : 0.5)) * path.length) / count);
    const tip = new Float64Array(3);
    for (let c = 0; c < 3; c++) {
      tip[c] = path.position[3 * station + c] - (HAIR / view.scale) * aim.axis[3 * station + c];
    }
    const q = projected(view, tip);
    if (Number.isNaN(q[0])) continue;
    out.push(line(p[3 * station], p[3 * station + 1], q[0], q[1], { stroke: COLOUR.ink, 'stroke-width': 0.7 }));
    out.push(element('circle', { cx: q[0], cy: q[1], r: 1.6, fill: COLOUR.ink }));
  }
  return [group({}, out)];
}

/** Index of the last station at or before arc length `s`. */
function stationAt(stations: Float64Array, s: number): number {
  let low = 0;
  let high = stations.length - 1;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (stations[middle] <= s + 1e-9) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** A spot for words off the seam at an arc length. */
interface Spot {
  /** On the seam. */
  readonly x: number;
  readonly y: number;
  /** Where the words go: their middle and baseline. */
  readonly labelX: number;
  readonly labelY: number;
}

interface Placer {
  /** A free spot for words off the seam at arc length s, or null. */
  at(s: number, text: string, size: number): Spot | null;
  /** Point and unit direction of travel in the picture. */
  point(s: number): readonly [number, number, number, number];
}

/** Finds spots across the seam, away from its middle first, then towards it. */
function outwardPlacer({ path }: SeamPlan, p: Float64Array, places: Places): Placer {
  let cx = 0;
  let cy = 0;
  for (let k = 0; k < path.count; k++) {
    cx += p[3 * k] / path.count;
    cy += p[3 * k + 1] / path.count;
  }
  const point = (s: number): readonly [number, number, number, number] => {
    const wrapped = path.closed ? s - path.length * Math.floor(s / path.length) : s;
    const k = stationAt(path.s, wrapped);
    const a = 3 * (path.closed ? (k + path.count - 1) % path.count : Math.max(0, k - 1));
    const b = 3 * (path.closed ? (k + 1) % path.count : Math.min(path.count - 1, k + 1));
    const dx = p[b] - p[a];
    const dy = p[b + 1] - p[a + 1];
    const l = Math.sqrt(dx * dx + dy * dy) || 1;
    return [p[3 * k], p[3 * k + 1], dx / l, dy / l];
  };
  return {
    point,
    at(s, text, size) {
      const [x, y, dx, dy] = point(s);
      // Long words need more room across a seam that does not run along them.
      const outreach = Math.max(0, (Math.abs(dy) * textWidth(text, size, 700)) / 2 - ROOM);
      const outward = (x - cx) * -dy + (y - cy) * dx >= 0 ? 1 : -1;
      for (const strict of [true, false]) {
        for (const side of [outward, -outward]) {
          for (const nearest of REACHES) {
            const reach = nearest + outreach;
            const labelX = x - dy * side * reach;
            const labelY = y + dx * side * reach + 0.36 * size;
            const box = labelBox(labelX, labelY, text, { size, weight: 700, anchor: 'middle' });
            if (places.take(box, strict)) return { x, y, labelX, labelY };
          }
        }
      }
      return null;
    },
  };
}

function drawStart(view: View, seam: SeamPlan, p: Float64Array, placer: Placer): string[] {
  const station = 3 * stationAt(seam.path.s, 0);
  const [x, y] = [p[station], p[station + 1]];
  // A chevron a little further on, across the direction of travel.
  const [ax, ay, dx, dy] = placer.point(Math.min(seam.path.length / 8, Math.max(CHEVRON, CHEVRON_CLEAR / view.scale)));
  const chevron = [
    ax - 6 * dx - 7 * dy,
    ay - 6 * dy + 7 * dx,
    ax + 7 * dx,
    ay + 7 * dy,
    ax - 6 * dx + 7 * dy,
    ay - 6 * dy - 7 * dx,
  ];
  const text = `start ${seam.seam.name}`;
  const spot = placer.at(0, text, 12);
  return [
    element('path', { d: pathThrough(chevron, true), fill: COLOUR.sheet, stroke: COLOUR.ink, 'stroke-width': 1.4 }),
    element('circle', { cx: x, cy: y, r: 5.5, fill: COLOUR.sheet, stroke: COLOUR.ink, 'stroke-width': 1.8 }),
    ...(spot === null ? [] : [label(spot.labelX, spot.labelY, text, { anchor: 'middle', weight: 700, halo: true })]),
  ];
}

/** Severity and number off the seam where the finding is worst, with a thin leader. */
function drawMark(seam: SeamPlan, { number, finding }: NumberedFinding, placer: Placer): string[] {
  const at = Number.isFinite(finding.at) ? finding.at : finding.from;
  const text = String(number);
  const spot = placer.at(at, `mm ${text}`, 12);
  if (spot === null || Number.isNaN(seam.path.length)) return [];
  const { x, y, labelX, labelY } = spot;
  const stroke = SEVERITY_COLOUR[finding.severity];
  return [
    line(x, y, labelX - 8, labelY - 4, { stroke, 'stroke-width': 0.8 }),
    severityMark(finding.severity, labelX - 8, labelY - 4),
    label(labelX + 1, labelY, text, { weight: 700, colour: stroke, halo: true }),
  ];
}

/** Arc length in round steps. */
function drawTicks({ path }: SeamPlan, placer: Placer): string[] {
  const [, ...steps] = scaleLinear([0, path.length], [0, 1]).ticks(TICKS);
  const step = steps[0] ?? path.length;
  const out: string[] = [];
  for (const s of steps.filter((at) => at < path.length - step / 4)) {
    const [x, y, dx, dy] = placer.point(s);
    out.push(line(x + 4 * dy, y - 4 * dx, x - 4 * dy, y + 4 * dx, { stroke: COLOUR.ink, 'stroke-width': 1.2 }));
    const spot = placer.at(s, String(s), 11);
    if (spot !== null)
      out.push(
        label(spot.labelX, spot.labelY, String(s), { anchor: 'middle', size: 11, colour: COLOUR.quiet, halo: true }),
      );
  }
  return out;
}
