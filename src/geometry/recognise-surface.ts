// Recognises plane, cylinder, cone, sphere and torus from the vertices of a face. The vertices of an exact model's
// tessellation lie on the true surface to about 1e-7 mm, so a primitive that fits them is the modelled one. Starts come
// from line geometry: normals of a cylinder are normal to its axis, those of a cone meet it at one angle, and the normal
// lines of any surface of revolution meet its axis (Pottmann & Randrup 1998, Computing 60, 307); Levenberg-Marquardt on
// the orthogonal distance does the rest. Straight models come before curved ones: a band that knows only its two rims
// fits a cone as well as a sphere, and facets between two rims without a vertex in between are as good as straight.
import type { Body } from '../model/part.ts';
import { type FacePoints, gatherFacePoints } from './face-points.ts';
import { fitPrimitive, PARAMETER_COUNT, type Primitive, primitiveDistance } from './fit-primitive.ts';
import { localNormals } from './fitted-surface.ts';
import {
  createCone,
  createCylinder,
  createPlane,
  createSphere,
  createTorus,
  type Outward,
} from './primitive-surfaces.ts';
import { eigenSymmetric3 } from './small-matrix.ts';
import { conesFrom, cylinderFrom, type NormalLines, sphereFrom, torusFrom } from './start-primitive.ts';
import type { Surface } from './surface.ts';

/** Largest distance of an interior vertex from the surface it is taken for, mm. */
const TOLERANCE = 1e-4;
/** Vertices of an exact tessellation lie this near to their surface, mm: 1e-7 as a rule, rounding of large files counted in. */
const EXACT = 2e-6;
/** Vertices on cuts of general surfaces stray, by up to 7e-4 mm on cuts of a torus with cylinders: how far those of a border may, */
const STRAY = 2e-3;
/** which share of a face's vertices must be good all the same, and how near that is, mm. */
const GOOD_SHARE = 0.4;
const GOOD = 1e-5;
/** A scan is judged by its noise: root mean square and largest distance in its units. */
const NOISY = 1e-5;
const SCAN_RMS = 1.5;
const SCAN_LARGEST = 5;
/** Share of the facets' area that must look the same way as the surface's normals. */
const AGREEMENT = 0.95;
/** Vertices that a first look and that a fit use at most; all of them judge it. */
const LOOK_POINTS = 90;
const FIT_POINTS = 500;
/** Root mean square distance after the first look, mm, beyond which a face is something else. */
const HOPELESS = 10 * STRAY;

/** The primitive that face `face` is part of, or null where it is none. Throws nothing. */
export function recogniseSurface(body: Body, face: number): Surface | null {
  const points = gatherFacePoints(body, face);
  if (points.count < 3 || points.facets === 0 || !(points.size > 0)) return null;
  const plane = recognisePlane(points, body.noise);
  if (plane !== null) return plane;
  const scaled = scaleToUnit(points);
  const facets: NormalLines = {
    count: points.facets,
    point: points.facetCentre.map((x) => x / points.size),
    normal: points.facetNormal,
    weight: points.facetArea,
  };
  let fits: NormalLines | null = null;
  const smooth = () => {
    fits ??= smoothNormals(points);
    return fits;
  };
  const attempts: (() => Primitive[])[] = [
    () => cylinderFrom(facets, scaled.position, scaled.weight),
    () => conesFrom(facets, scaled.position, scaled.weight),
    () => sphereFrom(scaled.position, scaled.weight),
    () => torusFrom(facets, scaled.position, scaled.weight),
    () => cylinderFrom(smooth(), scaled.position, scaled.weight),
    () => conesFrom(smooth(), scaled.position, scaled.weight),
    () => torusFrom(smooth(), scaled.position, scaled.weight),
  ];
  for (const attempt of attempts) {
    for (const start of attempt()) {
      const surface = tryPrimitive(start, points, scaled, body.noise);
      if (surface !== null) return surface;
    }
  }
  return null;
}

interface Scaled {
  readonly position: Float64Array;
  /** 1 for the vertices that a fit, or the first look, uses, else 0. */
  readonly weight: Float64Array;
  readonly look: Float64Array;
}

function scaleToUnit(points: FacePoints): Scaled {
  const pick = (most: number) => {
    const weight = new Float64Array(points.count);
    for (const i of spread(points.count, most)) weight[i] = 1;
    return weight;
  };
  return { position: points.position.map((x) => x / points.size), weight: pick(FIT_POINTS), look: pick(LOOK_POINTS) };
}

/** At most `most` indices out of 0 .. count - 1, evenly spread. */
function spread(count: number, most: number): number[] {
  const stride = Math.max(1, count / most);
  const out: number[] = [];
  for (let k = 0; k * stride < count; k += 1) out.push(Math.floor(k * stride));
  return out;
}

/** Normals of local fits at vertices spread over the face. */
function smoothNormals(points: FacePoints): NormalLines {
  const at = spread(points.count, 60);
  const normal = localNormals(points, at);
  const point = new Float64Array(3 * at.length);
  at.forEach((i, k) => {
    for (let j = 0; j < 3; j += 1) point[3 * k + j] = points.position[3 * i + j] / points.size;
  });
  return { count: at.length, point, normal, weight: new Float64Array(at.length).fill(1) };
}

/** Total least squares; three vertices make a plane, more must agree. */
function recognisePlane(points: FacePoints, noise: number): Surface | null {
  const distance = new Float64Array(points.count);
  let normal: Normal = [0, 0, 1];
  let offset = 0;
  const residual = fitRobustly(points, new Float64Array(points.count).fill(1), 3, noise, (weight) => {
    const mean = weightedMean(points.position, weight);
    normal = planeNormal(points, weight, mean);
    offset = mean[0] * normal[0] + mean[1] * normal[1] + mean[2] * normal[2];
    const p = points.position;
    for (let i = 0; i < points.count; i += 1) {
      distance[i] = p[3 * i] * normal[0] + p[3 * i + 1] * normal[1] + p[3 * i + 2] * normal[2] - offset;
    }
    return distance;
  });
  if (Number.isNaN(residual)) return null;
  const sign = facetAgreement(points, (_x, _y, _z, out) => out.set(normal));
  if (Math.abs(sign) < AGREEMENT) return null;
  const outward = sign > 0 ? 1 : -1;
  const foot = points.centre.map((x, k) => x + offset * normal[k]);
  return createPlane(foot, [outward * normal[0], outward * normal[1], outward * normal[2]], residual);
}

type Normal = readonly [number, number, number];

function weightedMean(p: Float64Array, weight: Float64Array): Normal {
  const sum: [number, number, number] = [0, 0, 0];
  let n = 0;
  for (let i = 0; i < weight.length; i += 1) {
    if (weight[i] === 0) continue;
    n += weight[i];
    for (let k = 0; k < 3; k += 1) sum[k] += weight[i] * p[3 * i + k];
  }
  return [sum[0] / n, sum[1] / n, sum[2] / n];
}

function planeNormal(points: FacePoints, weight: Float64Array, mean: Normal): Normal {
  const m: [number, number, number, number, number, number] = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < weight.length; i += 1) {
    if (weight[i] === 0) continue;
    const x = points.position[3 * i] - mean[0];
    const y = points.position[3 * i + 1] - mean[1];
    const z = points.position[3 * i + 2] - mean[2];
    m[0] += weight[i] * x * x;
    m[1] += weight[i] * x * y;
    m[2] += weight[i] * x * z;
    m[3] += weight[i] * y * y;
    m[4] += weight[i] * y * z;
    m[5] += weight[i] * z * z;
  }
  const { value, vector } = eigenSymmetric3(m);
  // Points along a line leave the normal open; the facets know it still.
  if (value[1] > 1e-12 * value[2]) return vector[0];
  const sum = [0, 0, 0];
  for (let f = 0; f < points.facets; f += 1) {
    for (let k = 0; k < 3; k += 1) sum[k] += points.facetArea[f] * points.facetNormal[3 * f + k];
  }
  const l = Math.sqrt(sum[0] * sum[0] + sum[1] * sum[1] + sum[2] * sum[2]);
  return l > 0 ? [sum[0] / l, sum[1] / l, sum[2] / l] : vector[0];
}

function tryPrimitive(start: Primitive, points: FacePoints, scaled: Scaled, noise: number): Surface | null {
  const parameters = PARAMETER_COUNT[start.kind];
  if (points.count < parameters + 3) return null;
  const glance = points.size * fitPrimitive(start, scaled.position, scaled.look);
  if (!(glance < HOPELESS + SCAN_RMS * noise)) return null;
  const residual = fitRobustly(points, scaled.weight, parameters, noise, (weight) =>
    Number.isFinite(fitPrimitive(start, scaled.position, weight)) ? distances(start, points, scaled) : null,
  );
  return Number.isNaN(residual) ? null : orient(start, points, residual);
}

/**
 * Fits all vertices; where most may be exact and some stray (cuts of general surfaces), weighs down what stands out under
 * a scale that shrinks to exactness (graduated non-convexity with the weights of Geman & McClure; Yang, Antonante, Tzoumas
 * & Carlone 2020). Returns what `judge` says of the last fit.
 */
function fitRobustly(
  points: FacePoints,
  weight: Float64Array,
  parameters: number,
  noise: number,
  adjust: (weight: Float64Array) => Float64Array | null,
): number {
  let distance = adjust(weight);
  if (distance === null) return Number.NaN;
  const exact = Math.max(EXACT, 3 * noise);
  let scale = largest(distance, weight);
  if (noise > NOISY || scale <= exact || scale > 2 * STRAY) return judge(distance, points, parameters, noise);
  const robust = new Float64Array(weight.length);
  while (scale > exact) {
    scale = Math.max(scale * 0.4, exact);
    for (let i = 0; i < robust.length; i += 1) {
      const q = 1 + (distance[i] / scale) ** 2;
      robust[i] = weight[i] / (q * q);
    }
    const next = adjust(robust);
    if (next === null) return Number.NaN;
    distance = next;
  }
  const residual = judge(distance, points, parameters, noise);
  if (!Number.isNaN(residual)) return residual;
  const plain = adjust(weight);
  return plain === null ? Number.NaN : judge(plain, points, parameters, noise);
}

function distances(f: Primitive, points: FacePoints, scaled: Scaled): Float64Array {
  const out = new Float64Array(points.count);
  const p = scaled.position;
  for (let i = 0; i < out.length; i += 1) {
    out[i] = points.size * primitiveDistance(f, p[3 * i], p[3 * i + 1], p[3 * i + 2]);
  }
  return out;
}

function largest(distance: Float64Array, weight: Float64Array): number {
  return distance.reduce((most, d, i) => (weight[i] > 0 ? Math.max(most, Math.abs(d)) : most), 0);
}

/**
 * Largest distance, mm, where the face may be taken for this surface; else NaN. Either all vertices are exact, or there
 * are three a parameter: those inside the face near, and those on its border near too, or strays among enough good ones.
 */
function judge(distance: Float64Array, points: FacePoints, parameters: number, noise: number): number {
  let inside = 0;
  let inner = 0;
  let all = 0;
  let square = 0;
  let good = 0;
  for (let i = 0; i < distance.length; i += 1) {
    const d = Math.abs(distance[i]);
    if (!(d >= 0)) return Number.NaN;
    all = Math.max(all, d);
    square += d * d;
    if (d <= GOOD) good += 1;
    if (points.border[i] === 1) continue;
    inside += 1;
    inner = Math.max(inner, d);
  }
  const plenty = points.count >= 3 * parameters;
  if (noise > NOISY) {
    const rms = Math.sqrt(square / distance.length);
    return plenty && rms <= SCAN_RMS * noise && all <= SCAN_LARGEST * noise ? all : Number.NaN;
  }
  if (all <= Math.max(EXACT, 3 * noise)) return all;
  if (!plenty || inner > TOLERANCE || all > STRAY) return Number.NaN;
  const mostlyGood = good >= parameters + 3 && good >= GOOD_SHARE * points.count;
  return mostlyGood || inside >= 3 * parameters || all <= TOLERANCE ? all : Number.NaN;
}

/** Area-weighted share of the facets on the side of the given normals less that on the other side, -1 .. 1. */
function facetAgreement(
  points: FacePoints,
  normalAt: (x: number, y: number, z: number, out: Float64Array) => void,
): number {
  const n = new Float64Array(3);
  let sum = 0;
  for (let f = 0; f < points.facets; f += 1) {
    const k = 3 * f;
    normalAt(points.facetCentre[k], points.facetCentre[k + 1], points.facetCentre[k + 2], n);
    const along = n[0] * points.facetNormal[k] + n[1] * points.facetNormal[k + 1] + n[2] * points.facetNormal[k + 2];
    // Facets of a true tessellation stand within some degrees of the surface; 0.8 is 37 degrees.
    if (along > 0.8) sum += points.facetArea[f];
    else if (along < -0.8) sum -= points.facetArea[f];
  }
  return sum / points.area;
}

/** The surface in millimetres, its normals out of the body; null where the facets contradict it. */
function orient(f: Primitive, points: FacePoints, residual: number): Surface | null {
  const make = (outward: Outward): Surface | null => {
    const s = points.size;
    const place = (x: readonly number[]) => x.map((c, k) => points.centre[k] + s * c);
    if (f.kind === 'sphere') return createSphere(place(f.point), s * f.a, outward, residual);
    if (f.kind === 'torus') return createTorus(place(f.point), f.axis, s * f.b, s * f.a, outward, residual);
    // The point of the axis nearest to the face's centre.
    const along = f.point[0] * f.axis[0] + f.point[1] * f.axis[1] + f.point[2] * f.axis[2];
    if (f.kind === 'cylinder') {
      const foot = f.point.map((x, k) => x - along * f.axis[k]);
      return createCylinder(place(foot), f.axis, s * f.a, outward, residual);
    }
    if (f.s === 0 || !(f.c > 0)) return null;
    const apex = f.point.map((x, k) => x - (f.a / f.s) * f.axis[k]);
    const axis = f.s > 0 ? f.axis : f.axis.map((x) => -x);
    return createCone(place(apex), axis, f.c, Math.abs(f.s), outward, residual);
  };
  const trial = make(1);
  if (trial === null) return null;
  const found = new Float64Array(6);
  const sign = facetAgreement(points, (x, y, z, out) => {
    const [cx, cy, cz] = points.centre;
    trial.project(x + cx, y + cy, z + cz, found);
    out.set(found.subarray(3));
  });
  if (!(Math.abs(sign) >= AGREEMENT)) return null;
  return sign > 0 ? trial : make(-1);
}
