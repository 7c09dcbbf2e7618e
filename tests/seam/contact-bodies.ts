// Bodies with closed forms for contacts: meshes whose vertices lie on the true surfaces, each face with vertices of its own.
import type { RawBody } from '../../src/model/raw-import.ts';

type Vec = readonly [number, number, number];

/** A body of faces, each a grid of points; rows run so that the face is seen counter-clockwise from outside. */
export function rawGrids(name: string, grids: readonly (readonly (readonly Vec[])[])[]): RawBody {
  const position: number[] = [];
  const triangle: number[] = [];
  const faceRange: number[] = [];
  for (const rows of grids) {
    faceRange.push(triangle.length / 3);
    const first = position.length / 3;
    const width = rows[0].length;
    for (const row of rows) for (const p of row) position.push(...p);
    for (let i = 0; i + 1 < rows.length; i++) {
      for (let j = 0; j + 1 < width; j++) {
        const a = first + i * width + j;
        triangle.push(a, a + 1, a + width + 1, a, a + width + 1, a + width);
      }
    }
    faceRange.push(triangle.length / 3);
  }
  return {
    name,
    position: Float64Array.from(position),
    triangle: Uint32Array.from(triangle),
    faceRange: Uint32Array.from(faceRange),
  };
}

export function moved(raw: RawBody, name: string, x: number, y: number, z: number): RawBody {
  return { ...raw, name, position: raw.position.map((value, i) => value + [x, y, z][i % 3]) };
}

/** Several bodies as one. */
export function together(name: string, raws: readonly RawBody[]): RawBody {
  const position: number[] = [];
  const triangle: number[] = [];
  const faceRange: number[] = [];
  for (const raw of raws) {
    const [vertices, triangles] = [position.length / 3, triangle.length / 3];
    position.push(...raw.position);
    triangle.push(...raw.triangle.map((v) => v + vertices));
    faceRange.push(...raw.faceRange.map((t) => t + triangles));
  }
  return {
    name,
    position: Float64Array.from(position),
    triangle: Uint32Array.from(triangle),
    faceRange: Uint32Array.from(faceRange),
  };
}

const steps = (n: number, from: number, to: number): number[] =>
  Array.from({ length: n + 1 }, (_, i) => from + ((to - from) * i) / n);

/** A ring torus about z, one face. */
export function rawTorus(major: number, minor: number, n: number, m: number): RawBody {
  const turn = steps(n, 0, 2 * Math.PI).map((a, i) => (i === n ? 0 : a));
  const round = steps(m, 0, 2 * Math.PI).map((b, i) => (i === m ? 0 : b));
  const rows = round.map((b) =>
    turn.map((a): Vec => {
      const r = major + minor * Math.cos(b);
      return [r * Math.cos(a), r * Math.sin(a), minor * Math.sin(b)];
    }),
  );
  return rawGrids('torus', [rows]);
}

/** A lying cylinder about x of the given radius, ends closed. */
export function rawLog(radius: number, half: number, n: number): RawBody {
  const round = steps(n, 0, 2 * Math.PI).map((a, i) => (i === n ? 0 : a));
  const at = (x: number, r: number, a: number): Vec => [x, r * Math.cos(a), r * Math.sin(a)];
  return rawGrids('log', [
    round.map((a) => [at(-half, radius, a), at(half, radius, a)].reverse()),
    round.map((a) => [at(half, radius, a), at(half, 0, a)].reverse()),
    round.map((a) => [at(-half, radius, a), at(-half, 0, a)]),
  ]);
}

/** An upright tube about z whose lower end lies on the lying cylinder of radius `lying`. */
export function rawSaddleTube(inner: number, outer: number, lying: number, n: number, rows: number): RawBody {
  const turn = steps(n, 0, 2 * Math.PI).map((a, i) => (i === n ? 0 : a));
  const down = (r: number, a: number): Vec => {
    const [x, y] = [r * Math.cos(a), r * Math.sin(a)];
    return [x, y, Math.sqrt(lying * lying - y * y)];
  };
  const up = (r: number, a: number): Vec => [r * Math.cos(a), r * Math.sin(a), lying + 10];
  return rawGrids('lid', [
    [turn.map((a) => down(outer, a)), turn.map((a) => up(outer, a))],
    [turn.map((a) => up(outer, a)), turn.map((a) => up(inner, a))],
    [turn.map((a) => up(inner, a)), turn.map((a) => down(inner, a))],
    steps(rows, inner, outer).map((r) => turn.map((a) => down(r, a))),
  ]);
}

/**
 * A prism along x over a profile in (y, z) that goes from left to right over the top, in runs of one face each; closed
 * below at z = floor.
 */
export function rawPrism(
  name: string,
  length: number,
  runs: readonly (readonly (readonly [number, number])[])[],
  floor: number,
): RawBody {
  const last = runs[runs.length - 1];
  const [first, end] = [runs[0][0], last[last.length - 1]];
  const top = runs.flat().filter((p, i, all) => i === 0 || p[0] !== all[i - 1][0] || p[1] !== all[i - 1][1]);
  const strip = (p: readonly [number, number], q: readonly [number, number]): readonly (readonly Vec[])[] => [
    [
      [0, ...p],
      [length, ...p],
    ],
    [
      [0, ...q],
      [length, ...q],
    ],
  ];
  const side = (x: number): readonly (readonly Vec[])[] => {
    const high = top.map((p): Vec => [x, ...p]);
    const low = top.map(([y]): Vec => [x, y, floor]);
    return x === 0 ? [high, low] : [low, high];
  };
  return rawGrids(name, [
    ...runs.map((run) =>
      run.map(([y, z]): readonly Vec[] => [
        [0, y, z],
        [length, y, z],
      ]),
    ),
    strip(end, [end[0], floor]),
    strip([end[0], floor], [first[0], floor]),
    strip([first[0], floor], first),
    side(0),
    side(length),
  ]);
}
