// The strip of one seam: findings, tracks and phases over one axis of arc length, with time as a second scale.
import { scaleLinear } from 'd3-scale';
import type { Job } from '../../model/job.ts';
import { PHASES } from '../../model/path.ts';
import type { SeamPlan } from '../../planner/plan.ts';
import { drawTrack, type Hatch, type TrackPlace } from './draw-track.ts';
import { createPlaces, label, labelBox, textWidth } from './label.ts';
import { hasStretch, type NumberedFinding } from './numbered-findings.ts';
import { COLOUR, SEVERITY_COLOUR, severityMark } from './palette.ts';
import { group, line, rect } from './svg.ts';
import { seamTracks } from './tracks.ts';

const TRACK_HEIGHT = 84;
const TRACK_GAP = 10;
const LANE_HEIGHT = 18;
const WORDS = 190;
const LABELS = 190;
const HEAD = 62;
const FOOT = 58;
const MOST_LANES = 6;

interface Bar {
  readonly number: number;
  readonly severity: NumberedFinding['finding']['severity'];
  readonly code: string;
  readonly from: number;
  readonly to: number;
}

/** The strip between `left` and `right` from `top` on, and where it ends, px. */
export function drawStrip(
  seam: SeamPlan,
  job: Job,
  findings: readonly NumberedFinding[],
  left: number,
  right: number,
  top: number,
): { content: string[]; bottom: number } {
  const { s, count } = seam.path.rows;
  const plot = { left: left + WORDS, right: right - LABELS };
  const x = scaleLinear()
    .domain([s[0], s[count - 1]])
    .range([plot.left, plot.right]);
  const bars = findings.filter((f) => hasStretch(f, seam.seam.name)).flatMap((f) => barsOf(f, seam, x));
  const lanes = placeInLanes(bars);
  const laneCount = Math.max(1, Math.min(MOST_LANES, 1 + Math.max(0, ...lanes)));
  const lanesTop = top + HEAD;
  const tracksTop = lanesTop + laneCount * LANE_HEIGHT + 12;
  const tracks = seamTracks(seam, job);
  const bottom = tracksTop + tracks.length * (TRACK_HEIGHT + TRACK_GAP);
  const at = (k: number): TrackPlace => ({
    ...plot,
    edgeLeft: left,
    edgeRight: right,
    top: tracksTop + k * (TRACK_HEIGHT + TRACK_GAP),
    height: TRACK_HEIGHT,
    x,
  });
  return {
    content: [
      label(left, top + 16, `Seam ${seam.seam.name} along its length`, { size: 15, weight: 700 }),
      ...drawPhases(seam, x, lanesTop - 4, bottom),
      label(left, lanesTop + 13, 'Findings', { size: 13, weight: 700 }),
      ...drawBars(bars, lanes, lanesTop),
      ...tracks.map((track, k) => drawTrack(track, s, hatchesOf(bars, track.codes), at(k))),
      ...drawTimeAxis(seam, x, left, lanesTop - 8),
      ...drawLengthAxis(seam, x, left, bottom + 4),
    ],
    bottom: bottom + FOOT,
  };
}

/** A finding's stretch in the picture; on a closed seam also where the overlap welds the same place again. */
function barsOf({ number, finding }: NumberedFinding, { path }: SeamPlan, x: (s: number) => number): Bar[] {
  const { s, count, phase } = path.rows;
  const { severity, code } = finding;
  const lastWelded = s[phase.findLastIndex((p) => PHASES[p] === 'weld' || PHASES[p] === 'overlap')] ?? s[count - 1];
  const clipped = (from: number, to: number, low: number, high: number): Bar[] => {
    const [a, b] = [Math.max(from, low), Math.min(to, high)];
    return a <= b ? [{ number, severity, code, from: x(a), to: x(b) }] : [];
  };
  const own = clipped(finding.from, finding.to, s[0], s[count - 1]);
  if (!path.closed) return own;
  const again = clipped(finding.from + path.length, finding.to + path.length, path.length, lastWelded);
  const before = clipped(finding.from - path.length, finding.to - path.length, 0, lastWelded);
  return [...before, ...own, ...again];
}

/** Lane of each bar, so that bars with their numbers do not meet; greedy from the left. */
function placeInLanes(bars: readonly Bar[]): number[] {
  const order = bars.map((_, k) => k).sort((a, b) => bars[a].from - bars[b].from || a - b);
  const ends: number[] = [];
  const lanes = new Array<number>(bars.length).fill(0);
  for (const k of order) {
    const { from, to, number } = bars[k];
    const end = Math.max(to, from + 16) + 8 + textWidth(String(number), 11, 700) + 6;
    let lane = ends.findIndex((taken) => taken <= from);
    if (lane < 0) lane = ends.length;
    ends[lane] = end;
    lanes[k] = lane;
  }
  return lanes;
}

function drawBars(bars: readonly Bar[], lanes: readonly number[], top: number): string[] {
  return bars.flatMap(({ number, severity, from, to }, k) => {
    if (lanes[k] >= MOST_LANES) return [];
    const y = top + lanes[k] * LANE_HEIGHT + 9;
    const end = Math.max(to, from + 2);
    return [
      rect(from, y - 3, end - from, 6, { fill: SEVERITY_COLOUR[severity], 'fill-opacity': 0.35 }),
      severityMark(severity, from + 5, y),
      label(Math.max(end, from + 12) + 4, y + 4, String(number), {
        size: 11,
        weight: 700,
        colour: SEVERITY_COLOUR[severity],
      }),
    ];
  });
}

const hatchesOf = (bars: readonly Bar[], codes: readonly string[]): Hatch[] =>
  bars.filter(({ code }) => codes.includes(code)).map(({ from, to, severity }) => ({ from, to, severity }));

/** Phases as faint grounds with their names below, and a line where a closed seam closes. */
function drawPhases({ path }: SeamPlan, x: (s: number) => number, top: number, bottom: number): string[] {
  const { s, count, phase } = path.rows;
  const out: string[] = [];
  const places = createPlaces({ x: x(s[0]) - 60, y: bottom, width: x(s[count - 1]) - x(s[0]) + 120, height: FOOT });
  PHASES.forEach((name, index) => {
    const first = phase.indexOf(index);
    if (first < 0) return;
    const from = x(s[first]);
    const to = x(s[Math.min(count - 1, phase.lastIndexOf(index) + 1)]);
    const beamOff = name === 'run-in' || name === 'run-out';
    if (name !== 'weld') {
      const fill = beamOff ? COLOUR.rule : COLOUR.light;
      out.push(rect(from, top, to - from, bottom - top, { fill, 'fill-opacity': beamOff ? 0.45 : 0.06 }));
    }
    const words = beamOff ? `${name}, beam off` : name;
    const middle = (from + to) / 2;
    for (const [text, y] of [
      [words, bottom + 36],
      [name, bottom + 36],
      [name, bottom + 52],
    ] as const) {
      if (!places.take(labelBox(middle, y, text, { size: 11, anchor: 'middle' }))) continue;
      out.push(label(middle, y, text, { size: 11, anchor: 'middle', colour: COLOUR.quiet }));
      break;
    }
  });
  for (const at of path.closed ? [0, path.length] : []) {
    out.push(line(x(at), top, x(at), bottom, { stroke: COLOUR.quiet, 'stroke-width': 0.8, 'stroke-dasharray': '4 3' }));
  }
  return out;
}

function drawLengthAxis(
  { path }: SeamPlan,
  x: ReturnType<typeof scaleLinear<number>>,
  left: number,
  y: number,
): string[] {
  const ticks = x.ticks(12);
  return [
    label(left, y + 14, 'Arc length', { size: 13, weight: 700 }),
    label(left, y + 30, path.closed ? `mm, closed, ${path.length.toFixed(2)}` : `mm, open, ${path.length.toFixed(2)}`, {
      size: 11,
      colour: COLOUR.quiet,
    }),
    group(
      {},
      ticks.flatMap((tick) => [
        line(x(tick), y - 4, x(tick), y + 2, { stroke: COLOUR.quiet, 'stroke-width': 1 }),
        label(x(tick), y + 15, String(tick), { size: 11, anchor: 'middle', colour: COLOUR.quiet }),
      ]),
    ),
  ];
}

/** Time above: a tick at round times wherever the spot is then, a number where there is room. */
function drawTimeAxis(
  { path, timing }: SeamPlan,
  x: ReturnType<typeof scaleLinear<number>>,
  left: number,
  y: number,
): string[] {
  const { s, count } = path.rows;
  const total = timing.time[count - 1];
  if (!Number.isFinite(total) || total <= 0) return [];
  const step = timeStep(total);
  const out: string[] = [];
  const [from, to] = x.range();
  const places = createPlaces({ x: from - 30, y: y - 30, width: to - from + 60, height: 40 });
  let row = 0;
  for (let k = 0; k * step <= total; k++) {
    const t = k * step;
    while (row < count - 2 && timing.time[row + 1] < t) row++;
    const span = timing.time[row + 1] - timing.time[row];
    const at = x(s[row] + (span > 0 ? Math.min(1, (t - timing.time[row]) / span) : 0) * (s[row + 1] - s[row]));
    out.push(line(at, y - 6, at, y, { stroke: COLOUR.quiet, 'stroke-width': 0.8 }));
    const text = t.toFixed(step < 1 ? 1 : 0);
    if (places.take(labelBox(at, y - 10, ` ${text} `, { size: 11, anchor: 'middle' }))) {
      out.push(label(at, y - 10, text, { size: 11, anchor: 'middle', colour: COLOUR.quiet }));
    }
  }
  return [
    label(left, y - 2, `Time, s, ${total.toFixed(2)} in all`, { size: 11, colour: COLOUR.quiet }),
    group({}, out),
  ];
}

function timeStep(total: number): number {
  for (let decade = 0.1; ; decade *= 10) {
    const step = [decade, 2 * decade, 5 * decade].find((candidate) => total / candidate <= 14);
    if (step !== undefined) return step;
  }
}
