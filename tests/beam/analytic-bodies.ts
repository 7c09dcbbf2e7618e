// Bodies with exact surfaces behind the interface that the stage asks: shells between two spheres, slabs between two planes,
// flat screens. Rays are solved in closed form, so a test that traces them another way checks the stage and no mesh.
import type { BodyQuery } from '../../src/geometry/body-query.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Surface } from '../../src/geometry/surface.ts';
import type { Body, Role } from '../../src/model/part.ts';

export type Vector = readonly [number, number, number];

export const plus = (a: Vector, f: number, b: Vector): Vector => [a[0] + f * b[0], a[1] + f * b[1], a[2] + f * b[2]];
export const dotOf = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const lengthOf = (a: Vector): number => Math.sqrt(dotOf(a, a));
export const unit = (a: Vector): Vector => plus([0, 0, 0], 1 / lengthOf(a), a);

interface Wall {
  readonly surface: Surface;
  /** Distances along a ray at which it is crossed. */
  readonly cross: (origin: Vector, direction: Vector) => readonly number[];
}

/** A body without a mesh. */
export const noMesh: Body = {
  name: 'body',
  index: 0,
  position: new Float64Array(),
  triangle: new Uint32Array(),
  faceOfTriangle: new Uint32Array(),
  faces: [],
  edges: [],
  openEdges: 0,
  noise: 0,
};

function bodyOf(walls: readonly Wall[], body: Body = noMesh): BodyQuery {
  const foot = new Float64Array(6);
  return {
    body,
    surface: (face) => (walls[face] as Wall).surface,
    cast(origin, direction, near, far, out) {
      const o = Array.from(origin) as unknown as Vector;
      const d = Array.from(direction) as unknown as Vector;
      const hits = walls
        .flatMap(({ cross }, face) => cross(o, d).map((distance) => ({ distance, face })))
        .filter(({ distance }) => distance >= near && distance <= far)
        .sort((a, b) => a.distance - b.distance);
      out.count = hits.length;
      hits.forEach(({ distance, face }, i) => {
        const at = plus(o, distance, d);
        (walls[face] as Wall).surface.project(at[0], at[1], at[2], foot);
        out.distance[i] = distance;
        out.face[i] = face;
        out.normal.set(foot.subarray(3), 3 * i);
        out.side[i] = dotOf([foot[3], foot[4], foot[5]], d) < 0 ? 1 : -1;
      });
      return true;
    },
    blocks(ax, ay, az, bx, by, bz) {
      const a: Vector = [ax, ay, az];
      const way = plus([bx, by, bz], -1, a);
      const length = lengthOf(way);
      return walls.some(({ cross }) => cross(a, unit(way)).some((distance) => distance >= 0 && distance <= length));
    },
    closest: () => -1,
    near: () => true,
  };
}

const surfaceOf = (project: (at: Vector) => { foot: Vector; normal: Vector }): Surface => ({
  kind: 'fitted',
  residual: 0,
  parameters: {},
  project(x, y, z, out) {
    const { foot, normal } = project([x, y, z]);
    out.set([...foot, ...normal]);
    return true;
  },
  normalCurvature: () => Number.NaN,
});

/** A sphere whose outward normal (of the body) points away from its centre (`sense` 1) or towards it (-1). */
function sphereWall(centre: Vector, radius: number, sense: 1 | -1): Wall {
  return {
    surface: surfaceOf((at) => {
      const out = unit(plus(at, -1, centre));
      return { foot: plus(centre, radius, out), normal: plus([0, 0, 0], sense, out) };
    }),
    cross(origin, direction) {
      const to = plus(origin, -1, centre);
      const half = dotOf(to, direction);
      const square = half * half - dotOf(to, to) + radius * radius;
      return square <= 0 ? [] : [-half - Math.sqrt(square), -half + Math.sqrt(square)];
    },
  };
}

function planeWall(point: Vector, normal: Vector): Wall {
  return {
    surface: surfaceOf((at) => ({ foot: plus(at, -dotOf(plus(at, -1, point), normal), normal), normal })),
    cross: (origin, direction) => [dotOf(plus(point, -1, origin), normal) / dotOf(direction, normal)],
  };
}

/** Between two concentric spheres. */
export const shell = (centre: Vector, inner: number, outer: number): BodyQuery =>
  bodyOf([sphereWall(centre, inner, -1), sphereWall(centre, outer, 1)]);

/** Between two parallel planes: from `point` up to `thickness` along the unit normal. */
export const slab = (point: Vector, normal: Vector, thickness: number): BodyQuery =>
  bodyOf([planeWall(point, plus([0, 0, 0], -1, normal)), planeWall(plus(point, thickness, normal), normal)]);

/** A plate above z = 0 whose top, `thickness` up, is a faint valley along y: its halves fall towards x = 0 by `slope`. */
export const valley = (thickness: number, slope: number): BodyQuery => {
  const top = (side: 1 | -1): Wall => {
    const wall = planeWall([0, 0, thickness], unit([-side * slope, 0, 1]));
    const cross: Wall['cross'] = (origin, direction) =>
      wall.cross(origin, direction).filter((t) => (origin[0] + t * direction[0]) * side > (side > 0 ? -1e-12 : 1e-12));
    return { surface: wall.surface, cross };
  };
  return bodyOf([planeWall([0, 0, 0], [0, 0, -1]), top(1), top(-1)]);
};

/** Half a plane: it stops rays where (x - point) . across > 0. */
export const screen = (point: Vector, normal: Vector, across: Vector): BodyQuery => {
  const wall = planeWall(point, normal);
  const cross: Wall['cross'] = (origin, direction) =>
    wall.cross(origin, direction).filter((t) => dotOf(plus(plus(origin, t, direction), -1, point), across) > 0);
  return bodyOf([{ surface: wall.surface, cross }]);
};

/** A body that a ray finds no answer on. */
export const unsound = (): BodyQuery => ({ ...bodyOf([]), cast: () => false });

/** A body with a mesh only: for its edges. */
export const meshOnly = (body: Body): BodyQuery => ({ ...bodyOf([], body), near: () => false });

export const inScene = (part: number, role: Role, query: BodyQuery, material = ''): SceneBody => ({
  part,
  name: `body ${part}`,
  role,
  material,
  query,
});
