// Paths with closed forms, and settings to aim along them.
import type { SceneBody } from '../../src/geometry/scene.ts';
import { type AimJob, aimBeam } from '../../src/beam/aim-beam.ts';
import type { Aim } from '../../src/model/aim.ts';
import type { HeadSettings } from '../../src/model/job.ts';
import type { Material } from '../../src/model/material.ts';
import type { Optics } from '../../src/model/optics.ts';
import type { Path } from '../../src/model/path.ts';
import type { Seam } from '../../src/model/seam.ts';
import { type Vector, plus, unit } from './analytic-bodies.ts';

export const DEG = Math.PI / 180;

export const optics = (change: Partial<Optics> = {}): Optics => ({
  id: 'bench',
  title: 'Bench optics',
  wavelength: 0.00098,
  beamQuality: 30,
  waist: 0.5,
  profile: 'gaussian',
  exitRadius: 10,
  polarisation: 'none',
  powerMin: 1,
  powerMax: 100,
  powerOffset: 0,
  powerSlope: 1,
  powerThreshold: 0,
  powerLag: 0,
  powerLead: 0,
  powerUpdate: 0,
  ...change,
});

/** A plate of this index that loses nothing but at its surfaces, or as much as measured. */
export const plate = (id: string, index: number, transmittance?: { value: number; thickness: number }): Material => {
  const r = ((index - 1) / (index + 1)) ** 2;
  return {
    id,
    title: id,
    index,
    transmittance: transmittance ?? { value: (1 - r) / (1 + r), thickness: 1 },
    scattering: false,
  };
};

export const head = (change: Partial<HeadSettings> = {}): HeadSettings => ({
  standoff: 150,
  defocus: 0,
  axis: 'joint-normal',
  lead: 0,
  tilt: 0,
  relax: 0,
  turn: 'constant',
  ...change,
});

export const aimJob = (change: Partial<AimJob> = {}): AimJob => ({
  optics: optics(),
  layer: null,
  materials: new Map(),
  limits: { contact: 0.05, lateral: 0.3 },
  ...change,
});

export const stated = (thickness: number, material: Material, change: Partial<AimJob> = {}): AimJob =>
  aimJob({ layer: { thickness, material: material.id }, materials: new Map([[material.id, material]]), ...change });

export const seamOn = (part = 0, faces: readonly number[] = [0]): Seam => ({
  name: 'rim',
  curve: { pieces: [], closed: true, length: 0 },
  corners: [],
  kinks: [],
  faces: faces.map((face) => ({ from: 0, ref: { part, face } })),
  edgeIds: [],
  blends: [],
  fingerprint: { length: 0, closed: true, points: [] },
  match: { kind: 'none', distance: 0, why: '' },
  faceChoice: 'given',
  fit: { points: 0, largest: 0, rms: 0, at: 0 },
});

export const task = {
  check() {},
  async pause() {},
  signal: { aborted: false, addEventListener() {}, removeEventListener() {} },
};

export const aim = (
  path: Path,
  settings: HeadSettings,
  scene: readonly SceneBody[],
  job: AimJob,
  seam = seamOn(),
): Promise<Aim> => aimBeam(path, seam, { head: settings }, scene, job, task);

export const at = (values: Float64Array, i: number): Vector => [values[3 * i], values[3 * i + 1], values[3 * i + 2]];

interface Station {
  readonly position: Vector;
  readonly tangent: Vector;
  readonly normal: Vector;
}

/** A path of `count` stations at the arc lengths `s`; curvatures are not read by the stage and stay 0. */
export function pathOf(closed: boolean, length: number, s: Float64Array, station: (i: number) => Station): Path {
  const count = s.length;
  const stations = Array.from({ length: count }, (_, i) => station(i));
  const zeros = new Float64Array(count);
  return {
    closed,
    length,
    count,
    s,
    onSeam: Uint8Array.from(s, (value) => (closed || (value >= 0 && value <= length) ? 1 : 0)),
    position: Float64Array.from(stations.flatMap(({ position }) => position)),
    tangent: Float64Array.from(stations.flatMap(({ tangent }) => tangent)),
    normal: Float64Array.from(stations.flatMap(({ normal }) => normal)),
    curvature: zeros,
    normalCurvature: zeros,
    geodesicCurvature: zeros,
    geodesicTorsion: zeros,
    corner: new Float64Array(count),
    face: new Uint32Array(count),
    rows: { count: 0, s: new Float64Array(), station: new Uint32Array(), phase: new Uint8Array() },
  };
}

/** Along x at z = 0 under an upward normal, with `beyond` stations off either end, 0.5 mm apart. */
export const straight = (stations: number, beyond = 0): Path =>
  pathOf(
    false,
    0.5 * (stations - 1),
    Float64Array.from({ length: stations + 2 * beyond }, (_, i) => 0.5 * (i - beyond)),
    (i) => ({ position: [0.5 * (i - beyond), 0, 0], tangent: [1, 0, 0], normal: [0, 0, 1] }),
  );

/** The circle at the polar angle `polar` on a sphere round `centre`, against the clock, normal outward. */
export function circleOnSphere(centre: Vector, radius: number, polar: number, stations: number): Path {
  const round = radius * Math.sin(polar);
  const length = 2 * Math.PI * round;
  const s = Float64Array.from({ length: stations }, (_, i) => (i * length) / stations);
  return pathOf(true, length, s, (i) => {
    const phi = s[i] / round;
    const normal: Vector = [Math.sin(polar) * Math.cos(phi), Math.sin(polar) * Math.sin(phi), Math.cos(polar)];
    return { position: plus(centre, radius, normal), tangent: [-Math.sin(phi), Math.cos(phi), 0], normal };
  });
}

/** Saddle rim z = A cos 2 phi on a cylinder, R 40, A 8, evenly in phi, with radial normals or those of the ruled flange. */
export function saddleRim(stations: number, face: 'radial' | 'flange'): Path {
  const [R, A] = [40, 8];
  const speed = (phi: number) => Math.sqrt(R * R + (2 * A * Math.sin(2 * phi)) ** 2);
  const step = (2 * Math.PI) / stations;
  const s = new Float64Array(stations);
  let length = 0;
  for (let i = 0; i < stations; i++) {
    s[i] = length;
    // Simpson's rule on 8 parts of a step: 1e-13 of the step's length.
    for (let m = 0; m < 8; m++) {
      const phi = (i + m / 8) * step;
      length += ((speed(phi) + 4 * speed(phi + step / 16) + speed(phi + step / 8)) * step) / 48;
    }
  }
  return pathOf(true, length, s, (i) => {
    const phi = i * step;
    const [c, n] = [Math.cos(phi), Math.sin(phi)];
    const rise = -2 * A * Math.sin(2 * phi);
    const tangent = unit([-R * n, R * c, rise]);
    const normal: Vector = face === 'radial' ? [c, n, 0] : unit([n * rise, -c * rise, R]);
    return { position: [R * c, R * n, A * Math.cos(2 * phi)], tangent, normal };
  });
}

/** The same stations driven the other way, from the same start. */
export function reversed(path: Path): Path {
  const order = Array.from({ length: path.count }, (_, i) =>
    path.closed ? (path.count - i) % path.count : path.count - 1 - i,
  );
  const s = Float64Array.from(order, (i, m) => (path.closed && m === 0 ? 0 : path.length - path.s[i]));
  const back = pathOf(path.closed, path.length, s, (i) => ({
    position: at(path.position, order[i]),
    tangent: plus([0, 0, 0], -1, at(path.tangent, order[i])),
    normal: at(path.normal, order[i]),
  }));
  return back;
}
