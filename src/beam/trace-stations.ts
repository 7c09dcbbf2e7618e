// Traces the beam of every station back from the joint and reads off what follows from the way alone: pose, entry, angles,
// layer, gap, shares of power by polarisation, size of the spot, shift of the focus.
import { atan2, hypot } from '../geometry/elementary.ts';
import { addScaled, copy, cross, dot, length, scale, set } from '../geometry/vector.ts';
import type { NominalHead } from '../model/job.ts';
import type { Optics } from '../model/optics.ts';
import type { Path } from '../model/path.ts';
import { beamRadius, divergence } from './caustic.ts';
import { layerIndex } from './clear-bodies.ts';
import { focusDepth } from './focus-depth.ts';
import { footprintFactor } from './footprint.ts';
import { createLean, leanAxis } from './lean-axis.ts';
import { lightAxes } from './light-axes.ts';
import { type AirDirection, createLightPath, type LightPath, MOST_SURFACES, settle } from './light-path.ts';
import { refract } from './refraction.ts';
import { type ClearBody, createTraceRoom, type StatedLayer, type Trace, traceBack } from './trace-back.ts';
import { createTransmissionRoom, type Shares, type Transmission, transmission } from './transmission.ts';

/** What the light meets at n stations; NaN where it is unknown, units as in `Aim`. */
export interface Traced {
  readonly axis: Float64Array;
  readonly tcp: Float64Array;
  readonly entry: Float64Array;
  /** Unit normal of the outermost surface there, 3 x n. */
  readonly entryNormal: Float64Array;
  /** Radius of the beam there, n, mm. */
  readonly entryRadius: Float64Array;
  readonly incidenceEntry: Float64Array;
  readonly incidenceJoint: Float64Array;
  readonly layer: Float64Array;
  readonly walls: Uint8Array;
  readonly rawGap: Float64Array;
  /** Mean, even and odd share, 3 x n: through surfaces and layer, and with the surfaces of a gap. */
  readonly transmitted: Float64Array;
  readonly throughGap: Float64Array;
  readonly spotAlong: Float64Array;
  readonly spotAcross: Float64Array;
  readonly focusShift: Float64Array;
}

export interface LightSettings {
  readonly head: NominalHead;
  readonly optics: Optics;
  readonly bodies: readonly ClearBody[];
  readonly stated: StatedLayer | null;
  /** Index of the absorber under a station, NaN where it is not known: that of the layer is taken. */
  readonly absorberIndex: (station: number) => number;
  /** Unit axes in air to aim along, 3 x n, instead of those that `head` asks for; or null. */
  readonly axes: Float64Array | null;
}

/** A ray that settles this close to where it was traced has met the same faces, mm (on a neighbour's extension at worst). */
const SAME_RAY = 0.01;
/** Where two faces meet in a faint crease a ray may waver between them; this close, mm, it is taken on the one it met last. */
const WAVERING = 0.1;
const MOST_TRACES = 6;

/** Empty arrays, and the function that fills them for one station; stations in order are faster, for each starts from the last. */
export function createTracer(
  path: Path,
  settings: LightSettings,
): { traced: Traced; trace: (station: number) => void } {
  const { head, optics, bodies, stated, axes: given } = settings;
  const { position, tangent, normal } = path;
  const traced = emptyTraced(path.count);
  const way = createLightPath();
  const room = createTraceRoom();
  const joint = new Float64Array(3);
  const upright = new Float64Array(3);
  const arriving = new Float64Array(3);
  /** Direction in which the light arrived at the last station, along t, b, n there. */
  const last = new Float64Array(3).fill(Number.NaN);
  const b = new Float64Array(3);
  const work = new Float64Array(3 * (MOST_SURFACES + 3));
  const axes = new Float64Array(6);
  const passing = createTransmissionRoom();
  const shares: Transmission = { transmitted: noShares(), throughGap: noShares() };
  const lean = createLean(head.lead, head.tilt);
  // Half the power of the cone, by second moment, lies within 1 / sqrt 2 of its edge: for a Gaussian as for a top-hat.
  const slope = divergence(optics) / Math.SQRT2;
  const firstIndex = layerIndex(bodies, stated);
  let k = 0;

  const airDirection: AirDirection = (light, axis) => {
    if (given !== null) {
      copy(given, k, axis, 0);
      return;
    }
    if (typeof head.axis !== 'string') set(axis, 0, -head.axis[0], -head.axis[1], -head.axis[2]);
    else if (head.axis === 'joint-normal' || light.surfaces === 0) copy(normal, k, axis, 0);
    else copy(light.normal, 3 * (light.surfaces - 1), axis, 0);
    leanAxis(axis, 0, tangent, normal, k, lean);
    scale(axis, 0, -1);
  };

  /** Leaves the settled way in `way`. */
  function findWay(): Trace {
    for (let c = 0; c < 3; c++) arriving[c] = last[0] * tangent[k + c] + last[1] * b[c] + last[2] * normal[k + c];
    let fresh = false;
    for (let attempt = 0; attempt < MOST_TRACES; attempt++) {
      if (Number.isNaN(arriving[0])) {
        if (fresh) return 'unknown';
        fresh = true;
        way.surfaces = 0;
        airDirection(way, arriving);
        refract(arriving, 0, normal, k, 1, firstIndex, arriving, 0);
      }
      const trace = traceBack(way, joint, upright, arriving, head.standoff, bodies, stated, room);
      const moved = trace === 'unknown' ? Number.NaN : settle(way, joint, airDirection);
      if (moved < (attempt < MOST_TRACES - 1 ? SAME_RAY : WAVERING)) return trace;
      if (Number.isNaN(moved)) arriving.fill(Number.NaN);
      else copy(way.light, 0, arriving, 0);
    }
    return 'unknown';
  }

  function trace(i: number): void {
    k = 3 * i;
    copy(position, k, joint, 0);
    copy(normal, k, upright, 0);
    cross(normal, k, tangent, k, b, 0);
    const found = findWay();
    if (found === 'unknown') {
      last.fill(Number.NaN);
      way.surfaces = 0;
      airDirection(way, way.light);
      copy(way.light, 0, traced.axis, k);
      return;
    }
    set(last, 0, dot(way.light, 0, tangent, k), dot(way.light, 0, b, 0), dot(way.light, 0, normal, k));
    const top = 3 * way.surfaces;
    copy(way.light, top, traced.axis, k);
    if (way.surfaces > 0) {
      copy(way.point, top - 3, traced.entry, k);
      copy(way.normal, top - 3, traced.entryNormal, k);
    } else {
      copy(joint, 0, traced.entry, k);
      copy(upright, 0, traced.entryNormal, k);
    }
    lightAxes(way.light, top, tangent, k, axes);

    const depth = focusDepth(way, joint, slope, axes, work) + head.defocus;
    addScaled(traced.entry, k, depth, way.light, top, traced.tcp, k);
    let toJoint = 0;
    for (let c = 0; c < 3; c++) toJoint += (joint[c] - traced.entry[k + c]) * traced.axis[k + c];
    traced.focusShift[i] = toJoint + head.defocus - depth;
    traced.entryRadius[i] = beamRadius(optics, depth);
    const radius = beamRadius(optics, head.defocus);
    const spread = scattered(way);
    traced.spotAlong[i] = hypot(radius * footprintFactor(way, tangent, k, normal, k, work), spread);
    traced.spotAcross[i] = hypot(radius * footprintFactor(way, b, 0, normal, k, work), spread);

    const medium = way.layer[0] === 0 && way.walls > 0 ? way.layer.indexOf(1) : 0;
    traced.incidenceEntry[i] = incidence(way.light, top, traced.entryNormal, k, work);
    traced.incidenceJoint[i] = incidence(way.light, 3 * medium, normal, k, work);
    // Light from below the joint meets it at more than 90 deg, whatever the face looks like from there.
    if (dot(way.light, 3 * medium, normal, k) > 0) traced.incidenceJoint[i] = Math.PI - traced.incidenceJoint[i];
    traced.layer[i] = layerLength(way);
    traced.walls[i] = way.walls;
    traced.rawGap[i] = way.walls === 0 && found === 'through' ? 0 : way.rawGap;
    if (found === 'uncovered') return;
    const below = settings.absorberIndex(i);
    transmission(way, axes, upright, Number.isNaN(below) ? firstIndex : below, passing, shares);
    putShares(shares.transmitted, traced.transmitted, k);
    putShares(shares.throughGap, traced.throughGap, k);
  }

  return { traced, trace };
}

/** Angle between the light and the normal against it, 0 .. pi/2 rad. */
function incidence(light: Float64Array, i: number, normal: Float64Array, j: number, work: Float64Array): number {
  cross(light, i, normal, j, work, 0);
  return atan2(length(work, 0), Math.abs(dot(light, i, normal, j)));
}

/** What scattering adds to the spot's radius, mm, as a second moment: squares add up, also with the beam's own radius. */
function scattered({ surfaces, widening, length: way, layer, rawGap }: LightPath): number {
  let sum = 0;
  for (let m = 0; m < surfaces; m++) {
    const inside = m === 0 && layer[0] && rawGap > 0 ? way[0] - rawGap : way[m];
    sum += (widening[m] * inside) ** 2;
  }
  return Math.sqrt(sum);
}

/** Length of the ray inside layers; where the layer touches the joint a hair above it, from its inner surface. */
function layerLength(way: LightPath): number {
  let sum = way.layer[0] && way.rawGap > 0 ? -way.rawGap : 0;
  for (let m = 0; m < way.surfaces; m++) if (way.layer[m]) sum += way.length[m];
  return sum;
}

function noShares(): Shares {
  return { mean: Number.NaN, even: Number.NaN, odd: Number.NaN };
}

function putShares({ mean, even, odd }: Shares, out: Float64Array, k: number): void {
  set(out, k, mean, even, odd);
}

function emptyTraced(n: number): Traced {
  const unknown = (width: number): Float64Array => new Float64Array(width * n).fill(Number.NaN);
  return {
    axis: unknown(3),
    tcp: unknown(3),
    entry: unknown(3),
    entryNormal: unknown(3),
    entryRadius: unknown(1),
    incidenceEntry: unknown(1),
    incidenceJoint: unknown(1),
    layer: unknown(1),
    walls: new Uint8Array(n),
    rawGap: unknown(1),
    transmitted: unknown(3),
    throughGap: unknown(3),
    spotAlong: unknown(1),
    spotAcross: unknown(1),
    focusShift: unknown(1),
  };
}
