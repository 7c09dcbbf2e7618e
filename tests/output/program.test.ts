import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { programCsv, programWords } from '../../src/output/program-csv.ts';
import { hasAllPoses, PROGRAM_LIMITS, programTargets, type Target } from '../../src/output/program-moves.ts';
import { rowFrames } from '../../src/output/row-frames.ts';
import type { Plan } from '../../src/planner/plan.ts';
import { saddlePlan } from './saddle-plan.ts';

const plan = saddlePlan();
const [seam] = plan.seams;
const targets = programTargets(plan);
const onSeam = targets.filter((target) => target.row >= 0);

type Vector = readonly number[];
const minus = (a: Vector, b: Vector): number[] => a.map((x, k) => x - b[k]);
const dot = (a: Vector, b: Vector): number => a.reduce((sum, x, k) => sum + x * b[k], 0);
const size = (a: Vector): number => Math.hypot(...a);

/** Slerp by its textbook formula (Shoemake 1985, memory), independent of the kernel's. */
function slerp(a: Vector, b: Vector, f: number): number[] {
  const sign = dot(a, b) < 0 ? -1 : 1;
  const angle = Math.acos(Math.min(1, Math.abs(dot(a, b))));
  if (angle < 1e-9) return [...a];
  const [p, q] = [Math.sin((1 - f) * angle) / Math.sin(angle), (sign * Math.sin(f * angle)) / Math.sin(angle)];
  return a.map((x, k) => p * x + q * b[k]);
}

const turn = (a: Vector, b: Vector): number =>
  2 *
  Math.asin(
    Math.min(
      1,
      Math.min(
        size(minus(a, b)),
        size(
          minus(
            a,
            b.map((x) => -x),
          ),
        ),
      ) / 2,
    ),
  );

/** Densely sampled poses of the move to `target` from `before`, by brute force: 2000 steps on the line or the arc. */
function sampleMove(before: Target, target: Target): { position: number[]; frame: number[] }[] {
  const [p0, p2] = [Array.from(before.pose), Array.from(target.pose)];
  const steps = 2000;
  const out: { position: number[]; frame: number[] }[] = [];
  for (let k = 0; k <= steps; k++) {
    const f = k / steps;
    if (target.motion === 'linear') {
      const position = p0.slice(0, 3).map((x, c) => x + f * (p2[c] - x));
      out.push({ position, frame: slerp(p0.slice(3), p2.slice(3), f) });
      continue;
    }
    const p1 = Array.from(target.via);
    const { position, viaShare } = onArc(p0.slice(0, 3), p1.slice(0, 3), p2.slice(0, 3), f);
    const frame =
      f < viaShare
        ? slerp(p0.slice(3), p1.slice(3), f / viaShare)
        : slerp(p1.slice(3), p2.slice(3), (f - viaShare) / (1 - viaShare));
    out.push({ position, frame });
  }
  return out;
}

/** Point at share f of the arc through three points: centre by perpendicular bisectors in the plane of the points. */
function onArc(a: Vector, b: Vector, c: Vector, f: number): { position: number[]; viaShare: number } {
  const ab = minus(b, a);
  const ex = ab.map((x) => x / size(ab));
  const ac = minus(c, a);
  const along = dot(ac, ex);
  const rest = ac.map((x, k) => x - along * ex[k]);
  const ey = rest.map((x) => x / size(rest));
  const [d, h] = [size(ab), size(rest)];
  const [ux, uy] = [d / 2, (along * (along - d) + h * h) / (2 * h)];
  const angle = (x: number, y: number): number => Math.atan2(y - uy, x - ux);
  const start = angle(0, 0);
  const full = 2 * Math.PI;
  const positive = (x: number): number => ((x % full) + full) % full;
  let [via, end] = [positive(angle(d, 0) - start), positive(angle(along, h) - start)];
  if (via > end) [via, end] = [via - full, end - full];
  const radius = Math.hypot(ux, uy);
  const at = start + f * end;
  const [x, y] = [ux + radius * Math.cos(at), uy + radius * Math.sin(at)];
  return { position: a.map((p, k) => p + x * ex[k] + y * ey[k]), viaShare: via / end };
}

/** Worst distance and turn of any waypoint from the nearest pose of the move it belongs to. */
function worstError(all: readonly Target[], ofPlan: Plan): { distance: number; angle: number } {
  const { path, aim } = ofPlan.seams[0];
  const frames = rowFrames(ofPlan.seams[0]);
  let worst = { distance: 0, angle: 0 };
  for (let k = 1; k < all.length; k++) {
    const poses = sampleMove(all[k - 1], all[k]);
    for (let row = all[k - 1].row; row <= all[k].row; row++) {
      const station = path.rows.station[row];
      const position = Array.from(aim.tcp.subarray(3 * station, 3 * station + 3));
      const frame = Array.from(frames.subarray(4 * row, 4 * row + 4));
      let nearest = poses[0];
      for (const pose of poses) {
        if (size(minus(pose.position, position)) < size(minus(nearest.position, position))) nearest = pose;
      }
      worst = {
        distance: Math.max(worst.distance, size(minus(nearest.position, position))),
        angle: Math.max(worst.angle, turn(nearest.frame, frame)),
      };
    }
  }
  return worst;
}

/** The saddle plan with its rim flattened and its frames held: a seam that arcs fit. */
function flatPlan(): Plan {
  const made = saddlePlan();
  const { path, aim } = made.seams[0];
  const tcp = new Float64Array(3 * path.count);
  const frame = new Float64Array(4 * path.count);
  for (let k = 0; k < path.count; k++) {
    const a = (2 * Math.PI * k) / path.count;
    tcp.set([40 * Math.cos(a), 40 * Math.sin(a), 0], 3 * k);
    frame.set([0, 1, 0, 0], 4 * k);
  }
  return { ...made, seams: [{ ...made.seams[0], aim: { ...aim, tcp, frame } }] };
}

describe('program.csv', () => {
  it('passes within the tolerances of every waypoint, by brute force along each move', () => {
    const { distance, angle } = worstError(onSeam, plan);
    // 2000 samples a move of a few mm: the nearest one may be off by a micrometre.
    expect(distance).toBeLessThan(PROGRAM_LIMITS.chord + 2e-3);
    expect(angle).toBeLessThan(PROGRAM_LIMITS.turn + 1e-3);
    // It uses the room it is given; a program that keeps everything would pass the lines above.
    expect(distance).toBeGreaterThan(0.5 * PROGRAM_LIMITS.chord);
    expect(onSeam.length).toBeLessThan(seam.path.rows.count / 4);
  });

  it('takes arcs round a circle, with every waypoint within the tolerances', () => {
    const flat = flatPlan();
    const round = programTargets(flat).filter((target) => target.row >= 0);
    expect(round.filter((target) => target.motion === 'circular').length).toBeGreaterThan(2);
    const { distance, angle } = worstError(round, flat);
    expect(distance).toBeLessThan(PROGRAM_LIMITS.chord + 2e-3);
    expect(angle).toBeLessThan(1e-6);
    expect(round.length).toBeLessThan(onSeam.length);
  });

  it('begins and ends off the part along the tool axis', () => {
    const [approach, first] = targets;
    const [last, depart] = targets.slice(-2);
    expect([approach.phase, approach.motion, depart.phase, depart.motion]).toEqual([
      'approach',
      'free',
      'depart',
      'linear',
    ]);
    for (const [away, on, row] of [
      [approach, first, 0],
      [depart, last, seam.path.rows.count - 1],
    ] as const) {
      const station = seam.path.rows.station[row];
      const axis = Array.from(seam.aim.axis.subarray(3 * station, 3 * station + 3));
      const moved = minus(Array.from(away.pose.subarray(0, 3)), Array.from(on.pose.subarray(0, 3)));
      expect(
        size(
          minus(
            moved,
            axis.map((x) => -50 * x),
          ),
        ),
      ).toBeLessThan(1e-6);
      expect(on.blend).toBe(0);
    }
  });

  it('switches the beam once on and once off, exactly where the plan does', () => {
    const events = targets.filter((target) => target.event !== '');
    expect(events.map((target) => target.event)).toEqual(['beam-on', 'beam-off']);
    expect(events[0].s).toBe(0);
    expect(events[1].s).toBe(seam.path.rows.s[seam.timing.beam.lastIndexOf(1)]);
    const lit = targets.filter((target) => target.beam === 1);
    expect(lit.every((target) => target.phase === 'weld' || target.phase === 'overlap')).toBe(true);
    expect(lit.length).toBe(targets.indexOf(events[1]) - targets.indexOf(events[0]));
  });

  it('asks for few speeds, none faster than the plan where something other than acceleration binds', () => {
    const levels = new Set(onSeam.map((target) => target.speed));
    expect(levels.size).toBeLessThan(16);
    for (let k = 1; k < onSeam.length; k++) {
      for (let row = onSeam[k - 1].row; row <= onSeam[k].row; row++) {
        // Index 1 of the bounds is the spot's acceleration.
        if (seam.timing.bound[row] === 1) continue;
        expect(onSeam[k].speed).toBeLessThanOrEqual(seam.timing.speed[row] * (1 + 1e-9));
      }
    }
  });

  it('sends the beam events out ahead by the best lead, and says what it mends', () => {
    const events = targets.filter(({ event }) => event !== '');
    const { data } = Papa.parse<Record<string, string>>(programCsv(plan), { header: true, skipEmptyLines: true });
    expect(events.length).toBe(2);
    for (const row of data) expect(row.event_lead_s).toBe(row.event === '' ? '' : '0.034000');
    const words = programWords(plan).properties as { 'schema:propertyID': string; 'schema:value'?: number }[];
    const value = (id: string) => words.find((word) => word['schema:propertyID'] === id)?.['schema:value'];
    expect([value('power-lag'), value('power-update'), value('power-lead')]).toEqual([0, 0, 0]);
    expect(value('best-lead.rim outer')).toBe(0.034);
  });

  it('splits the power into an offset and what rises with the speed, where trials say so', () => {
    const optics = { ...plan.job.optics, powerOffset: 4 };
    const lifted: Plan = { ...plan, job: { ...plan.job, optics } };
    const { power, ramp, speed, beam } = seam.timing;
    let lit = 0;
    for (const { row, offset, incident } of programTargets(lifted)) {
      if (row < 0 || beam[row] === 0 || Number.isNaN(incident)) continue;
      lit++;
      expect(offset).toBeCloseTo(4 * ramp[row], 12);
      expect(offset + incident * speed[row]).toBeCloseTo(power[row], 9);
    }
    expect(lit).toBeGreaterThan(5);
  });

  it('keeps the incident energy between targets within half a percent of its largest', () => {
    const { s } = seam.path.rows;
    const energy = seam.timing.incidentEnergy;
    const lit = onSeam.filter((target) => Number.isFinite(target.incident));
    const largest = Math.max(...lit.map((target) => target.incident));
    for (let k = 1; k < lit.length; k++) {
      const [a, b] = [lit[k - 1], lit[k]];
      for (let row = a.row; row <= b.row; row++) {
        const between = a.incident + ((s[row] - a.s) / (b.s - a.s)) * (b.incident - a.incident);
        // Shares by arc length here, by the chord there: a little more than the limit itself.
        expect(Math.abs(between - energy[row])).toBeLessThan(1.05 * PROGRAM_LIMITS.energyShare * largest);
      }
    }
  });

  it('rounds off by no more than the chord tolerance', () => {
    for (let k = 1; k + 1 < onSeam.length; k++) {
      const [a, b, c] = [onSeam[k - 1], onSeam[k], onSeam[k + 1]].map((t) => Array.from(t.pose.subarray(0, 3)));
      const [u, v] = [minus(b, a), minus(c, b)];
      expect(onSeam[k].blend).toBeLessThanOrEqual(Math.min(size(u), size(v)) / 2);
      if (onSeam[k].motion !== 'linear' || onSeam[k + 1].motion !== 'linear' || onSeam[k].blend === 0) continue;
      // A fillet tangent to both legs at r from their corner, turning by a: its arc has radius r / tan(a/2) and passes
      // the corner at radius (1 / cos(a/2) - 1).
      const a2 = Math.acos(Math.min(1, dot(u, v) / (size(u) * size(v)))) / 2;
      if (a2 < 1e-6) continue;
      expect((onSeam[k].blend / Math.tan(a2)) * (1 / Math.cos(a2) - 1)).toBeLessThan(PROGRAM_LIMITS.chord + 1e-6);
    }
  });

  it('goes through a corner without rounding it off', () => {
    const corner = new Float64Array(seam.path.count);
    corner[150] = 1;
    const bent: Plan = { ...plan, seams: [{ ...seam, path: { ...seam.path, corner } }] };
    const at = programTargets(bent).filter((target) => seam.path.rows.station[target.row] === 150);
    expect(at.map((target) => target.blend)).toEqual([0]);
    expect(targets.some((target) => seam.path.rows.station[target.row] === 150)).toBe(false);
  });

  it('leaves out a seam with an unknown pose, and says so', () => {
    const aim = { ...seam.aim, tcp: seam.aim.tcp.map((x, k) => (k === 300 ? Number.NaN : x)) };
    const broken: Plan = { ...plan, seams: [{ ...seam, aim }] };
    expect(hasAllPoses(broken.seams[0])).toBe(false);
    expect(Papa.parse(programCsv(broken), { skipEmptyLines: true }).data).toHaveLength(1);
    expect(JSON.stringify(programWords(broken).properties)).toContain('left-out.rim outer');
  });
});
