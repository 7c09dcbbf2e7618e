// Records of a flat seam, written out directly: a closed circle or an open straight line under a vertical beam through a
// 2 mm layer, with nothing to complain of. Tests change single fields.
import type { Aim } from '../../src/model/aim.ts';
import type { JobSeam, Limits } from '../../src/model/job.ts';
import type { Optics } from '../../src/model/optics.ts';
import type { Path } from '../../src/model/path.ts';
import { PHASES } from '../../src/model/path.ts';
import { RAD_PER_DEG } from '../../src/model/units.ts';

export const OPTICS: Optics = {
  id: 'bench-980',
  title: 'Bench optics',
  wavelength: 0.00098,
  beamQuality: 30,
  waist: 0.9,
  profile: 'gaussian',
  exitRadius: 12,
  polarisation: 'none',
  powerMin: 2,
  powerMax: 60,
  powerOffset: 0,
  powerSlope: 1,
  powerThreshold: 0,
  powerLag: 0,
  powerLead: 0,
  powerUpdate: 0,
};

export const LIMITS: Limits = {
  incidenceEntry: 15 * RAD_PER_DEG,
  incidenceJoint: 10 * RAD_PER_DEG,
  layer: 3,
  gap: 0.1,
  contact: 0.05,
  clipped: 0.02,
  capture: 0.98,
  lineEnergy: 0.1,
  lateral: 0.3,
  headTurn: 180 * RAD_PER_DEG,
  headTurnAcceleration: 1000 * RAD_PER_DEG,
  spotAcceleration: 300,
  normalAcceleration: 2000,
  headSpeed: 1000,
  headAcceleration: 8000,
};

export const SEAM: JobSeam = {
  name: 'rim',
  select: { kind: 'edges', ids: ['tub:0-1'], faceNear: null },
  offset: 0,
  startNear: null,
  reverse: false,
  width: 2,
  fingerprint: null,
  cornerBlend: 0,
  runIn: 10,
  runOut: 10,
  overlap: 8,
  ramp: 3,
  spacing: 0.5,
  chord: 0,
  head: { standoff: 150, defocus: 0, axis: 'joint-normal', lead: 0, tilt: 0, relax: 0, turn: 'constant' },
  process: { speed: 50, lineEnergy: 0.35, hold: 'line-energy', aim: null, preheat: null, startTemperature: 23 },
};

/** A closed circle of about `length` mm sampled at 0.5 mm, with run-in, overlap and 10 mm of run-out, about z. */
export function circlePath(length = 200): Path {
  const count = Math.round(length / 0.5);
  const step = length / count;
  const radius = length / (2 * Math.PI);
  const angle = (i: number) => (2 * Math.PI * i) / count;
  const wrap = (i: number) => ((i % count) + count) % count;
  const drive = Array.from({ length: 20 + count + 16 + 1 + 20 }, (_, j) => j - 20);
  const phase = (j: number) => (j < 0 ? 'run-in' : j < count ? 'weld' : j <= count + 16 ? 'overlap' : 'run-out');
  return {
    closed: true,
    length,
    count,
    s: Float64Array.from({ length: count }, (_, i) => i * step),
    onSeam: new Uint8Array(count).fill(1),
    position: vectors(count, (i) => [radius * Math.cos(angle(i)), radius * Math.sin(angle(i)), 0]),
    tangent: vectors(count, (i) => [-Math.sin(angle(i)), Math.cos(angle(i)), 0]),
    normal: vectors(count, () => [0, 0, 1]),
    curvature: new Float64Array(count).fill(1 / radius),
    normalCurvature: new Float64Array(count),
    geodesicCurvature: new Float64Array(count).fill(1 / radius),
    geodesicTorsion: new Float64Array(count),
    corner: new Float64Array(count),
    face: new Uint32Array(count),
    rows: {
      count: drive.length,
      s: Float64Array.from(drive, (j) => j * step),
      station: Uint32Array.from(drive, wrap),
      phase: Uint8Array.from(drive, (j) => PHASES.indexOf(phase(j))),
    },
  };
}

/** An open straight line of 100 mm along x with 10 mm of extension before and behind it, at 0.5 mm. */
export function linePath(): Path {
  const count = 241;
  const s = Float64Array.from({ length: count }, (_, i) => (i - 20) * 0.5);
  const phase = (at: number) => (at < 0 ? 'run-in' : at <= 100 ? 'weld' : 'run-out');
  return {
    closed: false,
    length: 100,
    count,
    s,
    onSeam: Uint8Array.from(s, (at) => (at >= 0 && at <= 100 ? 1 : 0)),
    position: vectors(count, (i) => [s[i], 0, 0]),
    tangent: vectors(count, () => [1, 0, 0]),
    normal: vectors(count, () => [0, 0, 1]),
    curvature: new Float64Array(count),
    normalCurvature: new Float64Array(count),
    geodesicCurvature: new Float64Array(count),
    geodesicTorsion: new Float64Array(count),
    corner: new Float64Array(count),
    face: new Uint32Array(count),
    rows: {
      count,
      s: s.slice(),
      station: Uint32Array.from(s, (_, i) => i),
      phase: Uint8Array.from(s, (at) => PHASES.indexOf(phase(at))),
    },
  };
}

/** Straight down through 2 mm in contact, 0.9 transmitted, nothing clipped, all of a 0.9 mm spot on a rib 4 mm wide. */
export function plainAim(path: Path): Aim {
  const n = path.count;
  const full = (value: number) => new Float64Array(n).fill(value);
  const above = (height: number) => path.position.map((value, k) => (k % 3 === 2 ? value + height : value));
  return {
    count: n,
    axis: vectors(n, () => [0, 0, -1]),
    tcp: path.position.slice(),
    frame: Float64Array.from({ length: 4 * n }, (_, k) => (k % 4 === 1 ? 1 : 0)),
    head: above(150),
    headD1: path.tangent.slice(),
    headD2: path.normal.map((_, k) => {
      const [i, axis] = [Math.floor(k / 3), k % 3];
      const across = axis === 0 ? -path.tangent[3 * i + 1] : axis === 1 ? path.tangent[3 * i] : 0;
      return path.geodesicCurvature[i] * across;
    }),
    turnD1: new Float64Array(3 * n),
    turnD2: new Float64Array(3 * n),
    headFactor: full(1),
    entry: above(2),
    incidenceEntry: full(0),
    incidenceJoint: full(0),
    layer: full(2),
    walls: new Uint8Array(n).fill(1),
    gap: full(0),
    rawGap: full(0),
    transmitted: full(0.9),
    delivered: full(0.9),
    clipped: full(0),
    clippedBy: new Int32Array(n).fill(-1),
    capture: full(1),
    captureLateral: full(1),
    borderLeft: full(2),
    borderRight: full(2),
    spotAlong: full(0.9),
    spotAcross: full(0.9),
    focusShift: full(0.7),
  };
}

function vectors(count: number, at: (i: number) => readonly number[]): Float64Array {
  const out = new Float64Array(3 * count);
  for (let i = 0; i < count; i++) out.set(at(i), 3 * i);
  return out;
}
