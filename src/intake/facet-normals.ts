// Normals of facets, for what may be judged on facets: folds between faces, flat triangles. Never for rays or incidence.
import { atan2 } from '../geometry/elementary.ts';

/** A triangle is flat, and its normal noise, when its height is no more than this, mm. */
const FLAT_HEIGHT = 1e-6;

/** Unit normals of the triangles (3 x nt, counter-clockwise seen from outside); NaN for flat ones. */
export function computeFacetNormals(position: Float64Array, triangle: Uint32Array): Float64Array {
  const normal = new Float64Array(triangle.length);
  for (let c = 0; c < triangle.length; c += 3) {
    const p = 3 * triangle[c];
    const q = 3 * triangle[c + 1];
    const r = 3 * triangle[c + 2];
    const ux = position[q] - position[p];
    const uy = position[q + 1] - position[p + 1];
    const uz = position[q + 2] - position[p + 2];
    const vx = position[r] - position[p];
    const vy = position[r + 1] - position[p + 1];
    const vz = position[r + 2] - position[p + 2];
    const wx = vx - ux;
    const wy = vy - uy;
    const wz = vz - uz;
    const nx = uy * vz - uz * vy;
    const ny = uz * vx - ux * vz;
    const nz = ux * vy - uy * vx;
    const area = Math.sqrt(nx * nx + ny * ny + nz * nz);
    const longest = Math.sqrt(
      Math.max(ux * ux + uy * uy + uz * uz, vx * vx + vy * vy + vz * vz, wx * wx + wy * wy + wz * wz),
    );
    const scale = area <= FLAT_HEIGHT * longest ? Number.NaN : 1 / area;
    normal[c] = nx * scale;
    normal[c + 1] = ny * scale;
    normal[c + 2] = nz * scale;
  }
  return normal;
}

/** Angle between the normals of triangles `t` and `u`, rad in 0 .. pi; NaN when one of them is flat. */
export function facetAngle(normal: Float64Array, t: number, u: number): number {
  const ax = normal[3 * t];
  const ay = normal[3 * t + 1];
  const az = normal[3 * t + 2];
  const bx = normal[3 * u];
  const by = normal[3 * u + 1];
  const bz = normal[3 * u + 2];
  const cx = ay * bz - az * by;
  const cy = az * bx - ax * bz;
  const cz = ax * by - ay * bx;
  return atan2(Math.sqrt(cx * cx + cy * cy + cz * cz), ax * bx + ay * by + az * bz);
}
