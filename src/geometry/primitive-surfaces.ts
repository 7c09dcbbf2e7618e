// Plane, sphere, cylinder, cone and torus as surfaces: closest point, outward normal and normal curvature, all exact.
// Cylinder, cone and torus are turned from a meridian (a line or a circle in the half-plane of distance from the axis and
// height along it); curvatures follow Euler's and Meusnier's theorems (do Carmo 1976, sections 3-2 and 3-3).
import type { Surface, SurfaceKind } from './surface.ts';

type Vec = readonly number[];

/** +1 where the body lies inside (a boss), -1 where it lies outside (a hole). */
export type Outward = 1 | -1;

const MERIDIAN_LENGTH = 6;

/**
 * Closest point of a meridian to (rho, z): writes its rho and z, its normal there (rho, z), away from the axis or the
 * tube's centre, and the curvatures along the meridian and along the parallel. False where there is none.
 */
type Meridian = (rho: number, z: number, out: Float64Array) => boolean;

function undefinedAt(out: Float64Array): false {
  out.fill(Number.NaN, 0, 6);
  return false;
}

function unit(v: Vec): [number, number, number] {
  const l = Math.sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]);
  return [v[0] / l, v[1] / l, v[2] / l];
}

/** Plane through `point` (mm) with the outward normal `normal`. */
export function createPlane(point: Vec, normal: Vec, residual = 0): Surface {
  const [nx, ny, nz] = unit(normal);
  const [px, py, pz] = point;
  return {
    kind: 'plane',
    residual,
    parameters: { point: [px, py, pz], normal: [nx, ny, nz] },
    project(x, y, z, out) {
      const d = (x - px) * nx + (y - py) * ny + (z - pz) * nz;
      out[0] = x - d * nx;
      out[1] = y - d * ny;
      out[2] = z - d * nz;
      out[3] = nx;
      out[4] = ny;
      out[5] = nz;
      return true;
    },
    normalCurvature: () => 0,
  };
}

/** Sphere about `centre` (mm). */
export function createSphere(centre: Vec, radius: number, outward: Outward, residual = 0): Surface {
  const [cx, cy, cz] = centre;
  return {
    kind: 'sphere',
    residual,
    parameters: { centre: [cx, cy, cz], radius },
    project(x, y, z, out) {
      const qx = x - cx;
      const qy = y - cy;
      const qz = z - cz;
      const d = Math.sqrt(qx * qx + qy * qy + qz * qz);
      if (!(d > 0)) return undefinedAt(out);
      const f = radius / d;
      out[0] = cx + f * qx;
      out[1] = cy + f * qy;
      out[2] = cz + f * qz;
      out[3] = (outward * qx) / d;
      out[4] = (outward * qy) / d;
      out[5] = (outward * qz) / d;
      return true;
    },
    normalCurvature: () => outward / radius,
  };
}

/** Cylinder about the line through `point` (mm) along `axis`. */
export function createCylinder(point: Vec, axis: Vec, radius: number, outward: Outward, residual = 0): Surface {
  const meridian: Meridian = (_rho, z, out) => {
    out[0] = radius;
    out[1] = z;
    out[2] = 1;
    out[3] = 0;
    out[4] = 0;
    out[5] = 1 / radius;
    return true;
  };
  return turned('cylinder', point, axis, meridian, outward, residual, {
    point: [...point],
    axis: unit(axis),
    radius,
  });
}

/**
 * Cone with its tip at `apex` (mm), opening along `axis`; its slope is given by cosine and sine of the half angle
 * (0 < half angle < 90 degrees). The other half of the double cone is not part of it.
 */
export function createCone(
  apex: Vec,
  axis: Vec,
  cosine: number,
  sine: number,
  outward: Outward,
  residual = 0,
): Surface {
  const meridian: Meridian = (rho, z, out) => {
    const along = rho * sine + z * cosine;
    if (!(along > 0)) return false;
    out[0] = along * sine;
    out[1] = along * cosine;
    out[2] = cosine;
    out[3] = -sine;
    out[4] = 0;
    out[5] = cosine / out[0];
    return true;
  };
  return turned('cone', apex, axis, meridian, outward, residual, {
    apex: [...apex],
    axis: unit(axis),
    slope: sine / cosine,
  });
}

/** Torus about `centre` (mm) and `axis`: a circle of `minor` radius carried round at `major` radius. */
export function createTorus(
  centre: Vec,
  axis: Vec,
  major: number,
  minor: number,
  outward: Outward,
  residual = 0,
): Surface {
  const meridian: Meridian = (rho, z, out) => {
    const from = rho - major;
    const d = Math.sqrt(from * from + z * z);
    if (!(d > 0)) return false;
    out[2] = from / d;
    out[3] = z / d;
    out[0] = major + minor * out[2];
    out[1] = minor * out[3];
    out[4] = 1 / minor;
    out[5] = out[2] / out[0];
    return true;
  };
  return turned('torus', centre, axis, meridian, outward, residual, {
    centre: [...centre],
    axis: unit(axis),
    majorRadius: major,
    minorRadius: minor,
  });
}

function turned(
  kind: SurfaceKind,
  point: Vec,
  axis: Vec,
  meridian: Meridian,
  outward: Outward,
  residual: number,
  parameters: Surface['parameters'],
): Surface {
  const [ax, ay, az] = unit(axis);
  const [cx, cy, cz] = point;
  const foot = new Float64Array(MERIDIAN_LENGTH);
  // Unit vector away from the axis, as `locate` found it last.
  let ex = 0;
  let ey = 0;
  let ez = 0;
  const locate = (x: number, y: number, z: number): boolean => {
    const qx = x - cx;
    const qy = y - cy;
    const qz = z - cz;
    const h = qx * ax + qy * ay + qz * az;
    ex = qx - h * ax;
    ey = qy - h * ay;
    ez = qz - h * az;
    const rho = Math.sqrt(ex * ex + ey * ey + ez * ez);
    if (!(rho > 0)) return false;
    ex /= rho;
    ey /= rho;
    ez /= rho;
    return meridian(rho, h, foot);
  };
  return {
    kind,
    residual,
    parameters,
    project(x, y, z, out) {
      if (!locate(x, y, z)) return undefinedAt(out);
      const rho = foot[0];
      const h = foot[1];
      const nr = foot[2];
      const nh = foot[3];
      out[0] = cx + rho * ex + h * ax;
      out[1] = cy + rho * ey + h * ay;
      out[2] = cz + rho * ez + h * az;
      out[3] = outward * (nr * ex + nh * ax);
      out[4] = outward * (nr * ey + nh * ay);
      out[5] = outward * (nr * ez + nh * az);
      return true;
    },
    normalCurvature(x, y, z, tx, ty, tz) {
      if (!locate(x, y, z)) return Number.NaN;
      const along = foot[2] * (tx * ax + ty * ay + tz * az) - foot[3] * (tx * ex + ty * ey + tz * ez);
      const round = tx * (ay * ez - az * ey) + ty * (az * ex - ax * ez) + tz * (ax * ey - ay * ex);
      const a2 = along * along;
      const r2 = round * round;
      return (outward * (foot[4] * a2 + foot[5] * r2)) / (a2 + r2);
    },
  };
}
