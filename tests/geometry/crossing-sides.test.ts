// A ray that goes into a body has side +1, one that leaves it -1, and the normal there points out of the body.
import { expect, test } from 'vitest';
import { createBodyQuery, createCrossings } from '../../src/geometry/mesh-body-query.ts';
import type { Body } from '../../src/model/part.ts';

const tetrahedron: Body = {
  name: 'tetrahedron',
  index: 0,
  position: Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1),
  triangle: Uint32Array.of(0, 2, 1, 0, 1, 3, 0, 3, 2, 1, 2, 3),
  faceOfTriangle: Uint32Array.of(0, 1, 2, 3),
  faces: [0, 1, 2, 3].map((firstTriangle) => ({ firstTriangle, triangleCount: 1 })),
  edges: [],
  openEdges: 0,
  noise: 1e-6,
};

test.each([
  [[1, 0, 0]],
  [[-1, 0, 0]],
  [[0, 1, 0]],
  [[0, -1, 0]],
  [[0, 0, 1]],
  [[0, 0, -1]],
  [[0.9, 0.3, 0.1]],
  [[-0.3, -0.8, 0.2]],
  [[0.1, 0.2, -0.97]],
])('along %j', (along) => {
  const length = Math.hypot(...along);
  const direction = Float64Array.from(along, (value) => value / length);
  const origin = direction.map((value) => 0.2 - 2 * value);
  const out = createCrossings();
  expect(createBodyQuery(tetrahedron).cast(origin, direction, 0, 10, out)).toBe(true);
  expect(Array.from(out.side.subarray(0, out.count))).toEqual([1, -1]);
  for (let i = 0; i < 2; i++) {
    const towards = direction.reduce((sum, value, c) => sum + value * out.normal[3 * i + c], 0);
    expect(Math.sign(towards)).toBe(-out.side[i]);
  }
});
