// Joints with closed forms for the tests of the path: exact surfaces behind the interfaces that the stage asks, and seams.
import { breaks } from '../../src/geometry/curve.ts';
import type { BodyQuery } from '../../src/geometry/body-query.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Surface } from '../../src/geometry/surface.ts';
import { normalise } from '../../src/geometry/vector.ts';
import type { Curve } from '../../src/model/curve.ts';
import type { Seam } from '../../src/model/seam.ts';
import type { Task } from '../../src/model/task.ts';

/** Normal at a point on (or near) a surface. */
export type NormalField = (x: number, y: number, z: number) => [number, number, number];

export const upward: NormalField = () => [0, 0, 1];
export const radial: NormalField = (x, y) => [x, y, 0];

/** The saddle rim's flange: z = 8 cos 2 phi ruled by horizontal radial lines, looking up. */
export const saddleFlange: NormalField = (x, y) => {
  const r = Math.sqrt(x * x + y * y);
  const [c, s] = [x / r, y / r];
  const slope = 32 * s * c; // 2 A sin 2 phi
  return [-slope * s, slope * c, r];
};

/** A surface that has these normals; points are taken to lie on it. Undefined where the field gives NaN. */
function surfaceOf(field: NormalField): Surface {
  return {
    kind: 'fitted',
    residual: 0,
    parameters: {},
    project(x, y, z, out) {
      out.set([x, y, z, ...field(x, y, z)]);
      return normalise(out, 3) > 0;
    },
    normalCurvature: () => Number.NaN,
  };
}

/** A scene of one absorbing body whose face i has the i-th field of normals. */
export function sceneOf(...fields: NormalField[]): SceneBody[] {
  const surfaces = fields.map(surfaceOf);
  const unused = () => {
    throw new Error('the path stage asks for surfaces only');
  };
  const query: BodyQuery = {
    body: {
      name: 'tub',
      index: 0,
      position: new Float64Array(),
      triangle: new Uint32Array(),
      faceOfTriangle: new Uint32Array(),
      faces: [],
      edges: [],
      openEdges: 0,
      noise: 0,
    },
    surface: (face) => surfaces[face],
    cast: unused,
    blocks: unused,
    closest: unused,
    near: unused,
  };
  return [{ part: 4, name: 'tub', role: 'absorbing', material: '', query }];
}

/** A seam along the curve, over faces 0, 1 .. that begin at the given arc lengths. */
export function seamOf(curve: Curve, from: readonly number[] = [0]): Seam {
  const corner = (5 * Math.PI) / 180;
  return {
    name: 'rim',
    curve,
    corners: breaks(curve, corner),
    kinks: breaks(curve, corner / 50).filter(({ angle }) => angle <= corner),
    faces: from.map((s, face) => ({ from: s, ref: { part: 4, face } })),
    edgeIds: [],
    blends: [],
    fingerprint: { length: 0, closed: true, points: [] },
    match: { kind: 'none', distance: 0, why: '' },
    faceChoice: 'given',
    fit: { points: 0, largest: 0, rms: 0, at: 0 },
  };
}

/** A task that counts its pauses. */
export function countingTask(): Task & { pauses: number } {
  return {
    pauses: 0,
    check() {},
    async pause() {
      this.pauses++;
    },
    signal: { aborted: false, addEventListener() {}, removeEventListener() {} },
  };
}
