// What a person needs to write a selection: bodies, faces, edges, sizes, and what the import had to say.
import { DEG_PER_RAD } from '../model/units.ts';
import type { Body, Edge, ImportNote, Part, PartFormat } from '../model/part.ts';
import type { Fingerprint } from '../model/seam.ts';

export interface FaceDescription {
  readonly face: number;
  /** plane, cylinder .. or fitted; `none` for a face without triangles. */
  readonly surface: string;
  readonly triangles: number;
  readonly area_mm2: number;
  /** A point near its middle, on the mesh: fit for `near_mm` of a band and for `face_near_mm`. */
  readonly near_mm: readonly number[];
}

export interface EdgeDescription {
  readonly id: string;
  readonly faces: readonly number[];
  readonly length_mm: number;
  readonly closed: boolean;
  /** Smallest and largest angle between its faces' normals, judged on facets; null along an open border. */
  readonly dihedral_deg: readonly [number, number] | null;
  /** A vertex near its middle: fit for `near_mm` of an edge. */
  readonly near_mm: readonly number[];
  /** What a job may carry as `fingerprint` to find it again; left out where it is not asked for. */
  readonly fingerprint?: {
    readonly length_mm: number;
    readonly closed: boolean;
    readonly points_mm: readonly (readonly number[])[];
  };
}

export interface BodyDescription {
  readonly name: string;
  readonly index: number;
  readonly triangles: number;
  readonly box_mm: { readonly low: readonly number[]; readonly high: readonly number[] };
  readonly open_edges: number;
  readonly noise_mm: number;
  readonly faces: readonly FaceDescription[];
  readonly edges: readonly EdgeDescription[];
}

/** Keys carry their unit, as in files. */
export interface PartDescription {
  readonly file: string;
  readonly format: PartFormat;
  readonly sha256: string;
  /** Deflections of the import; null for a mesh file. */
  readonly linear_mm: number | null;
  readonly angular_deg: number | null;
  readonly bodies: readonly BodyDescription[];
  readonly notes: readonly ImportNote[];
}

/**
 * Describes `part`; `surfaceKind` tells what a face is, `fingerprint` what an edge is by its geometry (both may be slow: a
 * face or an edge is asked once).
 */
export function describePart(
  part: Part,
  surfaceKind: (body: Body, face: number) => string,
  fingerprint?: (body: Body, edge: number) => Fingerprint,
): PartDescription {
  const mesh = Number.isNaN(part.linearDeflection);
  return {
    file: part.file,
    format: part.format,
    sha256: part.sha256,
    linear_mm: mesh ? null : part.linearDeflection,
    angular_deg: mesh ? null : part.angularDeflection * DEG_PER_RAD,
    bodies: part.bodies.map((body) => describeBody(body, surfaceKind, fingerprint)),
    notes: part.notes,
  };
}

function describeBody(
  body: Body,
  surfaceKind: (body: Body, face: number) => string,
  fingerprint?: (body: Body, edge: number) => Fingerprint,
): BodyDescription {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < body.position.length; i++) {
    low[i % 3] = Math.min(low[i % 3], body.position[i]);
    high[i % 3] = Math.max(high[i % 3], body.position[i]);
  }
  return {
    name: body.name,
    index: body.index,
    triangles: body.triangle.length / 3,
    box_mm: { low, high },
    open_edges: body.openEdges,
    noise_mm: body.noise,
    faces: body.faces.map((face, f) => ({
      face: f,
      surface: face.triangleCount === 0 ? 'none' : surfaceKind(body, f),
      triangles: face.triangleCount,
      ...measureFace(body, f),
    })),
    edges: body.edges.map((edge, index) => ({
      ...describeEdge(body, edge),
      ...(fingerprint === undefined ? {} : { fingerprint: describeFingerprint(fingerprint(body, index)) }),
    })),
  };
}

/** Area, and the centroid of the triangle whose centroid is closest to the face's: a point on the mesh, also of a ring. */
function measureFace(body: Body, f: number): { area_mm2: number; near_mm: readonly number[] } {
  const { firstTriangle, triangleCount } = body.faces[f];
  const middle = [0, 0, 0];
  let area = 0;
  const centroids: number[][] = [];
  for (let t = firstTriangle; t < firstTriangle + triangleCount; t++) {
    const [a, b, c] = [0, 1, 2].map((k) => point(body, body.triangle[3 * t + k]));
    const u = b.map((value, k) => value - a[k]);
    const v = c.map((value, k) => value - a[k]);
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const half = 0.5 * Math.sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]);
    const centroid = a.map((value, k) => (value + b[k] + c[k]) / 3);
    centroids.push(centroid);
    area += half;
    for (let k = 0; k < 3; k++) middle[k] += half * centroid[k];
  }
  const distance = (p: readonly number[]): number =>
    p.reduce((sum, value, k) => sum + (value - middle[k] / area) * (value - middle[k] / area), 0);
  let near: readonly number[] = centroids[0] ?? [];
  for (const centroid of centroids) if (distance(centroid) < distance(near)) near = centroid;
  return { area_mm2: area, near_mm: near };
}

function describeFingerprint({ length, closed, points }: Fingerprint): NonNullable<EdgeDescription['fingerprint']> {
  return { length_mm: length, closed, points_mm: points };
}

function describeEdge(body: Body, edge: Edge): EdgeDescription {
  const open = Number.isNaN(edge.dihedral[0]);
  return {
    id: edge.id,
    faces: edge.faces.filter((face) => face >= 0),
    length_mm: edge.length,
    closed: edge.closed,
    dihedral_deg: open ? null : [edge.dihedral[0] * DEG_PER_RAD, edge.dihedral[1] * DEG_PER_RAD],
    near_mm: point(body, edge.vertex[edge.vertex.length >> 1]),
  };
}

function point(body: Body, v: number): number[] {
  return Array.from(body.position.subarray(3 * v, 3 * v + 3));
}
