// Imported parts as a screen draws them: triangles and edges in 32 bits, counted from a centre that is taken off before.
import type { Body, Edge, Part } from '../../model/part.ts';
import { DEG_PER_RAD } from '../../model/units.ts';
import type { BodyView, EdgeView, SceneView } from './plan-view.ts';

type Triple = [number, number, number];

/**
 * `coarse`: the parts are a first, coarse import. The centre of a scene before is kept as long as it lies inside the new one's box,
 * so that points of both fit together.
 */
export function buildSceneView(
  parts: readonly Part[],
  coarse: boolean,
  before: readonly [number, number, number] | null = null,
): SceneView {
  const [low, high] = boxOf(parts.flatMap((part) => part.bodies));
  const kept = before?.every((value, k) => value >= low[k] && value <= high[k]) ? before : null;
  const centre = kept ?? (low.map((value, k) => (value + high[k]) / 2) as Triple);
  return {
    centre,
    low: low.map((value, k) => value - centre[k]) as Triple,
    high: high.map((value, k) => value - centre[k]) as Triple,
    bodies: parts.flatMap((part) => part.bodies.map((body) => bodyView(part.file, body, centre))),
    coarse,
    notes: parts.flatMap((part) => part.notes.map(({ code, sentence }) => ({ file: part.file, code, sentence }))),
  };
}

/** Smallest and largest coordinates; zeros where there is no point. */
function boxOf(bodies: readonly Body[]): readonly [Triple, Triple] {
  const low: Triple = [Infinity, Infinity, Infinity];
  const high: Triple = [-Infinity, -Infinity, -Infinity];
  for (const { position } of bodies) {
    for (let i = 0; i < position.length; i++) {
      const axis = i % 3;
      if (position[i] < low[axis]) low[axis] = position[i];
      if (position[i] > high[axis]) high[axis] = position[i];
    }
  }
  return low[0] <= high[0]
    ? [low, high]
    : [
        [0, 0, 0],
        [0, 0, 0],
      ];
}

function bodyView(file: string, body: Body, centre: readonly number[]): BodyView {
  const { name, index, position, triangle, faceOfTriangle, edges } = body;
  return {
    key: `${file}#${index}`,
    file,
    name,
    index,
    position: centred(position, centre),
    triangle: triangle.slice(),
    faceOfTriangle: faceOfTriangle.slice(),
    edges: edges.map((edge) => edgeView(edge, position, centre)),
  };
}

function edgeView(edge: Edge, position: Float64Array, centre: readonly number[]): EdgeView {
  const chain = edge.closed ? [...edge.vertex, edge.vertex[0]] : edge.vertex;
  const points = new Float32Array(3 * chain.length);
  chain.forEach((vertex, i) => {
    for (let axis = 0; axis < 3; axis++) points[3 * i + axis] = position[3 * vertex + axis] - centre[axis];
  });
  const [least, most] = edge.dihedral;
  return {
    id: edge.id,
    length: edge.length,
    closed: edge.closed,
    dihedral: Number.isNaN(least) ? null : [least * DEG_PER_RAD, most * DEG_PER_RAD],
    position: points,
  };
}

/** Points (3 x n, mm) counted from `centre`, in 32 bits. */
export function centred(points: Float64Array, centre: readonly number[]): Float32Array {
  const out = new Float32Array(points.length);
  for (let i = 0; i < points.length; i++) out[i] = points[i] - centre[i % 3];
  return out;
}
