// A plan by closed forms, for the tests of the outputs: a seam on the saddle rim x = (R cos a, R sin a, A cos 2a), the beam
// straight against a normal that leans with the rim, a speed that dips twice. The numbers are invented; only their
// relations (power, speed and energy; frames; arc length) are those of a real plan.
import { fromAxes } from '../../src/geometry/quaternion.ts';
import { edgeRatio } from '../../src/heat/edge-ratio.ts';
import type { Aim } from '../../src/model/aim.ts';
import type { Catalogue } from '../../src/model/catalogue.ts';
import type { Finding } from '../../src/model/finding.ts';
import { parseJobFile, readJob } from '../../src/model/parse-job.ts';
import type { Body, Part } from '../../src/model/part.ts';
import { PHASES, type Path } from '../../src/model/path.ts';
import { BOUNDS, type Timing } from '../../src/model/timing.ts';
import { VERSION } from '../../src/model/version.ts';
import type { Plan, SeamPlan } from '../../src/planner/plan.ts';

const RADIUS = 40;
const HEIGHT = 8;
const STANDOFF = 150;
const ENERGY = 0.35;
const SPEED = 50;
const OVERLAP = 8;
const RUN_IN = 10;
const RAMP = 3;

const JOB = {
  format: 'raythread-job/1',
  title: 'Saddle pod, rim "A", nominal',
  parts: [
    { file: 'saddle.step', body: 'tub', role: 'absorbing', material: 'own-black' },
    { file: 'saddle.step', body: 'lid', role: 'transmissive', material: 'own-clear' },
    { file: 'clamp.stl', unit: 'mm', role: 'tooling' },
  ],
  placement: { position_mm: [600, 0, 300], rotation_deg: [0, 0, 90] },
  seams: [{ name: 'rim outer', select: { band: { body: 'tub', near_mm: [40, 0, 8] } } }],
  optics: {
    title: 'own',
    wavelength_nm: 980,
    beam_quality_m2: 30,
    waist_mm: 1,
    profile: 'top-hat',
    polarisation: 'none',
    exit_radius_mm: 20,
    power_min_W: 1,
    power_max_W: 80,
  },
  materials: {
    'own-clear': { title: 'clear', index: 1.565, transmittance: { value: 0.88, thickness_mm: 3 } },
    'own-black': { title: 'black', index: 1.565 },
  },
  arm: null,
  process: { speed_mm_s: SPEED, line_energy_J_mm: ENERGY },
};

const NO_CATALOGUE: Catalogue = {
  optics: new Map(),
  materials: new Map(),
  polymers: new Map(),
  pairs: new Map(),
  arms: new Map(),
  heads: new Map(),
};

interface Ring {
  readonly count: number;
  readonly length: number;
  readonly s: Float64Array;
  readonly angle: Float64Array;
}

/** Stations at even arc length, found on a fine polygon. */
function ring(count: number): Ring {
  const fine = 20_000;
  const arc = new Float64Array(fine + 1);
  const point = (k: number): [number, number, number] => {
    const a = (2 * Math.PI * k) / fine;
    return [RADIUS * Math.cos(a), RADIUS * Math.sin(a), HEIGHT * Math.cos(2 * a)];
  };
  for (let k = 1; k <= fine; k++) {
    const [p, q] = [point(k - 1), point(k)];
    arc[k] = arc[k - 1] + Math.hypot(q[0] - p[0], q[1] - p[1], q[2] - p[2]);
  }
  const length = arc[fine];
  const s = Float64Array.from({ length: count }, (_, i) => (i * length) / count);
  let k = 0;
  const angle = s.map((at) => {
    while (arc[k + 1] <= at) k++;
    return (2 * Math.PI * (k + (at - arc[k]) / (arc[k + 1] - arc[k]))) / fine;
  });
  return { count, length, s, angle };
}

/** Position, tangent, normal of the rim at an angle; the normal leans inwards by a quarter of the slope. */
function rimFrame(a: number): { p: number[]; t: number[]; n: number[] } {
  const p = [RADIUS * Math.cos(a), RADIUS * Math.sin(a), HEIGHT * Math.cos(2 * a)];
  const d = [-RADIUS * Math.sin(a), RADIUS * Math.cos(a), -2 * HEIGHT * Math.sin(2 * a)];
  const l = Math.hypot(d[0], d[1], d[2]);
  const t = d.map((x) => x / l);
  const up = [0.25 * Math.cos(2 * a) * Math.cos(a), 0.25 * Math.cos(2 * a) * Math.sin(a), 1];
  const along = up[0] * t[0] + up[1] * t[1] + up[2] * t[2];
  const n = up.map((x, k) => x - along * t[k]);
  const m = Math.hypot(n[0], n[1], n[2]);
  return { p, t, n: n.map((x) => x / m) };
}

function makePath(r: Ring): Path {
  const n = r.count;
  const step = r.length / n;
  const [before, after] = [Math.round(RUN_IN / step), Math.round((OVERLAP + RUN_IN) / step)];
  const rows = before + n + after + 1;
  const overlapRows = Math.round(OVERLAP / step);
  const position = new Float64Array(3 * n);
  const tangent = new Float64Array(3 * n);
  const normal = new Float64Array(3 * n);
  for (let i = 0; i < n; i++) {
    const frame = rimFrame(r.angle[i]);
    position.set(frame.p, 3 * i);
    tangent.set(frame.t, 3 * i);
    normal.set(frame.n, 3 * i);
  }
  const number = Float64Array.from({ length: rows }, (_, row) => row - before);
  const phaseOf = (k: number): number => (k < 0 ? 0 : k < n ? 1 : k <= n + overlapRows ? 2 : 3);
  return {
    closed: true,
    length: r.length,
    count: n,
    s: r.s,
    onSeam: new Uint8Array(n).fill(1),
    position,
    tangent,
    normal,
    curvature: r.angle.map((a) => 0.0255 + 0.006 * Math.cos(4 * a)),
    normalCurvature: r.angle.map((a) => 0.02 * Math.cos(2 * a)),
    geodesicCurvature: r.angle.map((a) => -0.02 + 0.004 * Math.cos(4 * a)),
    geodesicTorsion: r.angle.map((a) => 0.01 * Math.sin(2 * a)),
    corner: new Float64Array(n),
    face: new Uint32Array(n),
    rows: {
      count: rows,
      s: number.map((k) => k * step),
      station: Uint32Array.from(number, (k) => ((k % n) + n) % n),
      phase: Uint8Array.from(number, phaseOf),
    },
  };
}

function makeAim(path: Path, angle: Float64Array): Aim {
  const n = path.count;
  const axis = path.normal.map((x) => -x);
  const frame = new Float64Array(4 * n);
  for (let i = 0; i < n; i++) {
    const z = axis.slice(3 * i, 3 * i + 3);
    const x = path.tangent.slice(3 * i, 3 * i + 3);
    const y = Float64Array.of(z[1] * x[2] - z[2] * x[1], z[2] * x[0] - z[0] * x[2], z[0] * x[1] - z[1] * x[0]);
    fromAxes(x, 0, y, 0, z, 0, frame, 4 * i);
  }
  const along = (k: (a: number) => number): Float64Array => angle.map(k);
  const zeros = (width = 1): Float64Array => new Float64Array(width * n);
  const transmitted = along((a) => 0.9 + 0.03 * Math.cos(3 * a));
  const layer = along((a) => 2.3 + 0.9 * Math.sin(a) ** 2);
  // Somewhere a ray got no answer: those values are unknown.
  layer[Math.floor(0.4 * n)] = Number.NaN;
  return {
    count: n,
    axis,
    tcp: path.position.map((x, k) => x - 0.7 * axis[k]),
    frame,
    head: path.position.map((x, k) => x - (STANDOFF + 0.7) * axis[k]),
    headD1: zeros(3),
    headD2: zeros(3),
    turnD1: zeros(3),
    turnD2: zeros(3),
    headFactor: along((a) => 1 + 3 * Math.cos(2 * a)),
    entry: path.position.map((x, k) => x - 2 * axis[k]),
    incidenceEntry: along((a) => (9 + 8 * Math.cos(2 * a)) * (Math.PI / 180)),
    incidenceJoint: along((a) => (5 + 4 * Math.cos(2 * a)) * (Math.PI / 180)),
    layer,
    walls: new Uint8Array(n).fill(1),
    gap: along((a) => 0.02 + 0.02 * Math.sin(2 * a)),
    rawGap: along((a) => 0.02 + 0.02 * Math.sin(2 * a)),
    transmitted,
    delivered: transmitted.map((x) => x * 0.99),
    clipped: along((a) => (Math.abs(a - 4) < 0.2 ? 0.3 : 0)),
    clippedBy: Int32Array.from(angle, (a) => (Math.abs(a - 4) < 0.2 ? 2 : -1)),
    capture: along(() => 0.999),
    captureLateral: along(() => 0.99),
    borderLeft: along(() => 1.5),
    borderRight: along(() => 1.5),
    spotAlong: along(() => 1.01),
    spotAcross: along(() => 1),
    focusShift: along(() => 0.7),
  };
}

function makeTiming(path: Path, aim: Aim): Timing {
  const { count, s, station, phase } = path.rows;
  const end = s[count - 1];
  const dip = (at: number): number =>
    1 - 0.7 * Math.exp(-(((((at % path.length) + path.length) % path.length) - 80) ** 2) / 200);
  const rest = (at: number): number => Math.sqrt(2 * 300 * Math.max(0, at));
  const speed = s.map((at) => Math.min(SPEED * dip(at), rest(at - s[0]), rest(end - at)));
  const beam = Uint8Array.from(phase, (p) => (PHASES[p] === 'weld' || PHASES[p] === 'overlap' ? 1 : 0));
  const last = s[beam.lastIndexOf(1)];
  const ramp = s.map((at, row) => (beam[row] === 0 ? 0 : Math.max(0, Math.min(1, at / RAMP, (last - at) / RAMP))));
  const time = new Float64Array(count);
  for (let row = 1; row < count; row++) {
    time[row] = time[row - 1] + (2 * (s[row] - s[row - 1])) / (speed[row] + speed[row - 1]);
  }
  const power = speed.map((v, row) => (ENERGY * v * ramp[row]) / aim.transmitted[station[row]]);
  const step = (from: number): number => time[phase.lastIndexOf(from)] - time[Math.max(0, phase.indexOf(from) - 1)];
  return {
    count,
    speed,
    acceleration: new Float64Array(count),
    time,
    bound: Uint8Array.from(speed, (v, row) =>
      rest(s[row] - s[0]) <= v || rest(end - s[row]) <= v
        ? BOUNDS.indexOf('spot-acceleration')
        : v < 0.999 * SPEED
          ? BOUNDS.indexOf('head-turn')
          : BOUNDS.indexOf('process-speed'),
    ),
    beam,
    ramp,
    power,
    lineEnergy: power.map((p, row) => (p * aim.transmitted[station[row]]) / speed[row]),
    incidentEnergy: power.map((p, row) => p / speed[row]),
    arrivingPower: power.map((p) => 0.98 * p),
    arrivingEnergy: power.map((p, row) => (0.98 * p * aim.transmitted[station[row]]) / speed[row]),
    arrivingDeviation: ramp.map((share) => (share === 1 ? -0.02 : Number.NaN)),
    arrival: { lead: 0.034, outside: 12, outsideAtLead: 1.5, worst: -0.3, worstAtLead: 0.12 },
    headSpeed: speed.map((v) => 2 * v),
    cycle: { runIn: step(0), weld: step(1), overlap: step(2), runOut: step(3), total: time[count - 1] },
  };
}

const finding = (code: string, severity: Finding['severity'], from: number, to: number, seam: string): Finding => ({
  code,
  severity,
  seam,
  from,
  to,
  at: (from + to) / 2,
  value: 3.2,
  limit: 3,
  unit: 'mm',
  sentence: `${code}: 3.20 mm (limit 3.00 mm)${Number.isNaN(from) ? '' : ` from ${from} to ${to} mm`}`,
  remedy: 'try another way',
});

/** A vertical wall below the rim, with its upper border as an edge, and a block as tooling. */
function makeParts(r: Ring): Part[] {
  const n = r.count;
  const position = new Float64Array(6 * n);
  for (let i = 0; i < n; i++) {
    const { p } = rimFrame(r.angle[i]);
    position.set(p, 3 * i);
    position.set([p[0], p[1], -30], 3 * (n + i));
  }
  const triangle = new Uint32Array(6 * n);
  for (let i = 0; i < n; i++) {
    const j = (i + 1) % n;
    triangle.set([i, n + i, j, j, n + i, n + j], 6 * i);
  }
  const edge = (id: string, from: number): Body['edges'][number] => ({
    id,
    faces: [0, -1],
    vertex: Uint32Array.from({ length: n }, (_, i) => from + i),
    closed: true,
    length: r.length,
    dihedral: [Number.NaN, Number.NaN],
  });
  const body: Body = {
    name: 'tub',
    index: 0,
    position,
    triangle,
    faceOfTriangle: new Uint32Array(2 * n),
    faces: [{ firstTriangle: 0, triangleCount: 2 * n }],
    edges: [edge('tub:0-1', 0), edge('tub:0-1.2', n)],
    openEdges: 2 * n,
    noise: 1e-6,
  };
  const block: Body = {
    name: '#0',
    index: 0,
    position: Float64Array.of(50, -10, 0, 70, -10, 0, 70, 10, 0, 50, 10, 0),
    triangle: Uint32Array.of(0, 1, 2, 0, 2, 3),
    faceOfTriangle: new Uint32Array(2),
    faces: [{ firstTriangle: 0, triangleCount: 2 }],
    edges: [
      {
        id: '#0:0',
        faces: [0, -1],
        vertex: Uint32Array.of(0, 1, 2, 3),
        closed: true,
        length: 80,
        dihedral: [Number.NaN, Number.NaN],
      },
    ],
    openEdges: 4,
    noise: 1e-6,
  };
  const lid: Body = { ...body, name: 'lid', index: 1, position: position.map((x, k) => (k % 3 === 2 ? x + 2 : x)) };
  const part = { notes: [], linearDeflection: 0.01, angularDeflection: 0.1 };
  return [
    { file: 'saddle.step', format: 'step', sha256: 'ab'.repeat(32), bodies: [body, lid], ...part },
    { file: 'clamp.stl', format: 'stl', sha256: 'cd'.repeat(32), bodies: [block], ...part },
  ];
}

/** `count` stations on the rim (about 261.1 mm long). */
export function saddlePlan(count = 522): Plan {
  const jobFile = parseJobFile(JSON.stringify(JOB), 'saddle.job.json');
  const job = readJob(jobFile, NO_CATALOGUE, 'saddle.job.json');
  const r = ring(count);
  const path = makePath(r);
  const aim = makeAim(path, r.angle);
  const timing = makeTiming(path, aim);
  const { name } = job.seams[0];
  const own = [
    finding('layer-thick', 'blocks', 50, 80.5, name),
    finding('speed-dip', 'warns', 60, 100, name),
    finding('beam-clipped', 'blocks', 158, 174, name),
    finding('incidence-entry', 'warns', 250, 272, name),
  ];
  const overall = [finding('unit-doubtful', 'notes', Number.NaN, Number.NaN, '')];
  const seam: SeamPlan = {
    job: job.seams[0],
    seam: {
      name,
      curve: {
        pieces: [
          {
            knot: Float64Array.of(0, r.length),
            coefficient: new Float64Array(12).fill(1 / 3),
            arc: Float64Array.of(0, r.length),
          },
        ],
        closed: true,
        length: r.length,
      },
      corners: [],
      kinks: [],
      faces: [{ from: 0, ref: { part: 0, face: 0 } }],
      edgeIds: ['tub:0-1'],
      blends: [],
      fingerprint: { length: 0, closed: true, points: [] },
      match: { kind: 'none', distance: 0, why: '' },
      faceChoice: 'band',
      fit: { points: 100, largest: 1e-5, rms: 1e-6, at: 3 },
    },
    path,
    aim,
    carried: null,
    timing,
    heat: null,
    window: null,
    preheat: null,
    edgeRatio: edgeRatio(path, null, aim.spotAcross, job.seams[0].width),
    relaxation: null,
    findings: own,
  };
  const parts = makeParts(r);
  return {
    version: VERSION,
    inputs: parts.map(({ file, sha256 }) => ({ file, sha256, bytes: 1234 })),
    jobFile,
    job,
    parts,
    bodies: [
      { part: 0, body: 0 },
      { part: 0, body: 1 },
      { part: 1, body: 0 },
    ],
    seams: [seam],
    findings: [...overall, ...own],
  };
}
