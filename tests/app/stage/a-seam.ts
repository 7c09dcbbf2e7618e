// A closed seam on a circle in the plane z = 0, driven counter-clockwise seen from above, as tests of the stage need it.
import { PHASES } from '../../../src/model/path.ts';
import type { SeamView } from '../../../src/output/view/plan-view.ts';

export interface CircleSeam {
  readonly radius: number;
  readonly rows: number;
  readonly width: number;
}

/** One run-in row, `rows` rows of weld once round, three of overlap, one run-out row; all evenly spaced, 10 mm/s. */
export function circleSeam({ radius, rows, width }: CircleSeam): SeamView {
  const length = 2 * Math.PI * radius;
  const step = length / rows;
  const count = rows + 5;
  const index = Array.from({ length: count }, (_, row) => row - 1);
  const spread = (of: (angle: number) => readonly number[]) =>
    Float32Array.from(index.flatMap((k) => of((k * step) / radius)));
  const phase = index.map((k) => {
    const word = k < 0 ? 'run-in' : k < rows ? 'weld' : k < rows + 3 ? 'overlap' : 'run-out';
    return PHASES.indexOf(word);
  });
  const s = Float64Array.from(index, (k) => k * step);
  return {
    name: 'circle',
    closed: true,
    length,
    edgeIds: ['tub:1-2'],
    count,
    s,
    time: s.map((value) => (value - s[0]) / 10),
    phase: Uint8Array.from(phase),
    beam: Uint8Array.from(phase, (word) => (word === 1 || word === 2 ? 1 : 0)),
    joint: spread((a) => [radius * Math.cos(a), radius * Math.sin(a), 0]),
    tcp: spread((a) => [radius * Math.cos(a), radius * Math.sin(a), 0]),
    head: spread((a) => [radius * Math.cos(a), radius * Math.sin(a), 150]),
    entry: spread((a) => [radius * Math.cos(a), radius * Math.sin(a), 2]),
    normal: spread(() => [0, 0, 1]),
    tangent: spread((a) => [-Math.sin(a), Math.cos(a), 0]),
    axis: spread(() => [0, 0, -1]),
    width,
    exitRadius: 5,
    spotRadius: new Float32Array(count).fill(1),
    columns: [],
    margins: [],
    tracks: [],
    ribbon: null,
    arm: null,
    window: null,
  };
}
