// An edge of a STEP file that others wrote, planned from import to time law: the countersink of `conical-surface.step`, one
// of the interoperability files that ship with the importer.
import { beforeAll, describe, expect, test } from 'vitest';
import { importPart } from '../../src/intake/import-part.ts';
import { host, outsideFile, quietTask } from '../intake/support.ts';
import { runStages, type StageRecords } from '../planner/run-stages.ts';
import { sceneOf } from '../seam/support.ts';

// Source: the file's entities, in inches (seen): CONICAL_SURFACE of radius 0.450944881889764 and half angle
// 0.785398163397449 rad about the axis -x through y = 0 with its circle of that radius at x = -0.748031496062992.
const INCH = 25.4;
const RADIUS = 0.450944881889764 * INCH;
const SIDE = Math.SQRT1_2;
const OFFSET = 2;
/** The seam: `OFFSET` down the cone from its mouth. */
const ROUND = RADIUS - OFFSET * SIDE;

describe('a countersink, welded 2 mm inside its mouth', () => {
  let seam: StageRecords;
  let axisHeight: number;
  beforeAll(async () => {
    const tessellation = { linear: 0.01, angular: 0.1, maxTriangles: 2e6 };
    const part = await importPart(
      'conical-surface.step',
      outsideFile('conical-surface/conical-surface.step'),
      { tessellation, unitScale: 0 },
      host,
      quietTask(),
    );
    const [body] = part.bodies;
    // The disc is round about the axis: its middle height is the axis's.
    const z = [...body.position].filter((_, i) => i % 3 === 2);
    axisHeight = (Math.min(...z) + Math.max(...z)) / 2;
    const x = -0.748031496062992 * INCH;
    seam = await runStages(sceneOf([body], ['absorbing']), {
      select: {
        kind: 'edge',
        body: body.name,
        near: [x, 0, axisHeight + RADIUS],
        follow: 'tangent',
        faceNear: [x + 2, 0, axisHeight + RADIUS - 2],
      },
      offset: OFFSET,
      layer: 2,
    });
  });

  test('is the circle that the cone makes there: place, length, curvature', () => {
    const { path } = seam;
    expect(path.closed).toBe(true);
    expect(Math.abs(path.length / (2 * Math.PI * ROUND) - 1)).toBeLessThan(1e-6);
    for (let i = 0; i < path.count; i++) {
      const [x, y, z] = path.position.subarray(3 * i, 3 * i + 3);
      expect(Math.abs(x + 0.748031496062992 * INCH - OFFSET * SIDE)).toBeLessThan(1e-4);
      expect(Math.abs(Math.hypot(y, z - axisHeight) - ROUND)).toBeLessThan(1e-4);
      expect(Math.abs(path.curvature[i] * ROUND - 1)).toBeLessThan(1e-3);
      // Hollow towards the head, and bending with the mouth (do Carmo 1976, sec. 3-2: k_n = C''.n): both 1 / (sqrt 2 r).
      expect(Math.abs(path.normalCurvature[i] * ROUND + SIDE)).toBeLessThan(1e-3);
      expect(Math.abs(Math.abs(path.geodesicCurvature[i]) * ROUND - SIDE)).toBeLessThan(1e-3);
    }
  });

  test("normals are the cone's within 0.02 deg", () => {
    const { path } = seam;
    let turned = 0;
    for (let i = 0; i < path.count; i++) {
      const [, y, z] = path.position.subarray(3 * i, 3 * i + 3);
      const r = Math.hypot(y, z - axisHeight);
      // Out of the body: to the axis, and out of the mouth.
      const exact = [-SIDE, (-SIDE * y) / r, (-SIDE * (z - axisHeight)) / r];
      const n = path.normal.subarray(3 * i, 3 * i + 3);
      turned = Math.max(turned, Math.hypot(n[0] - exact[0], n[1] - exact[1], n[2] - exact[2]));
    }
    expect((turned * 180) / Math.PI).toBeLessThan(0.02);
  });

  test('the head runs round the other side of the axis, and every row has its time and power', () => {
    const { path, aim, timing } = seam;
    // Source: the head stands L along n from the joint, so its circle has the radius |r - L / sqrt 2|, and it runs backward.
    // The tool centre point is moved back by the focus shift, so the head stands that much farther out than its standoff.
    for (let i = 0; i < path.count; i++) {
      const above = 150 + aim.focusShift[i];
      // Differences of fourth order over steps of 0.5 mm round 10 mm: (0.05)^4 / 30 of the factor.
      expect(Math.abs(aim.headFactor[i] - (1 - (above * SIDE) / ROUND))).toBeLessThan(1e-5);
    }
    expect(aim.headFactor[0]).toBeLessThan(-5);
    for (const v of timing.time) expect(Number.isFinite(v)).toBe(true);
    for (const v of timing.power) expect(Number.isFinite(v)).toBe(true);
    expect(timing.cycle.total).toBeGreaterThan(path.length / 50);
  });
});
