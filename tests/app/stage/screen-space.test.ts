import fc from 'fast-check';
import { OrthographicCamera, PerspectiveCamera, Vector3 } from 'three';
import { describe, expect, it } from 'vitest';
import { chainsNear, movedScreen, pointNear, project, type Screen } from '../../../src/app/stage/screen-space.ts';

const SEED = 20260311;

function screenOf(camera: PerspectiveCamera | OrthographicCamera, width = 800, height = 600): Screen {
  camera.updateMatrixWorld();
  camera.updateProjectionMatrix();
  return { matrix: camera.projectionMatrix.clone().multiply(camera.matrixWorldInverse).elements, width, height };
}

function perspective(): PerspectiveCamera {
  const camera = new PerspectiveCamera(30, 800 / 600, 1, 1000);
  camera.up.set(0, 0, 1);
  camera.position.set(-60, -90, 70);
  camera.lookAt(0, 0, 0);
  return camera;
}

describe('projection to the screen', () => {
  it(`agrees with three's own (seed ${SEED})`, () => {
    const camera = perspective();
    const screen = screenOf(camera);
    const at = new Float64Array(3);
    fc.assert(
      fc.property(
        fc.tuple(fc.double({ min: -20, max: 20, noNaN: true }), fc.double({ min: -20, max: 20, noNaN: true })),
        ([x, y]) => {
          expect(project(screen, x, y, 3, at)).toBe(true);
          const seen = new Vector3(x, y, 3).project(camera);
          expect(at[0]).toBeCloseTo((seen.x / 2 + 0.5) * 800, 6);
          expect(at[1]).toBeCloseTo((0.5 - seen.y / 2) * 600, 6);
        },
      ),
      { seed: SEED, numRuns: 50 },
    );
  });

  it('says no behind the eye', () => {
    expect(project(screenOf(perspective()), -120, -180, 140, new Float64Array(3))).toBe(false);
  });

  it('counts from another origin', () => {
    const screen = screenOf(perspective());
    const [a, b] = [new Float64Array(3), new Float64Array(3)];
    project(screen, 1 + 4, 2 - 5, 3 + 6, a);
    project(movedScreen(screen, [4, -5, 6]), 1, 2, 3, b);
    for (let c = 0; c < 3; c++) expect(b[c]).toBeCloseTo(a[c], 9);
  });
});

describe('chains under the pointer', () => {
  it(`finds the same distance as a fine walk along the chain (seed ${SEED})`, () => {
    const screen = screenOf(perspective());
    const coordinate = fc.double({ min: -20, max: 20, noNaN: true });
    const chain = fc.array(fc.tuple(coordinate, coordinate, coordinate), { minLength: 2, maxLength: 4 });
    fc.assert(
      fc.property(
        chain,
        fc.double({ min: 100, max: 700, noNaN: true }),
        fc.double({ min: 50, max: 550, noNaN: true }),
        (points, x, y) => {
          const flat = points.flat();
          let least = Number.POSITIVE_INFINITY;
          const at = new Float64Array(3);
          const STEPS = 4000;
          for (let k = 0; k + 1 < points.length; k++) {
            for (let i = 0; i <= STEPS; i++) {
              const [px, py, pz] = [0, 1, 2].map((c) => points[k][c] + (i / STEPS) * (points[k + 1][c] - points[k][c]));
              project(screen, px, py, pz, at);
              least = Math.min(least, Math.hypot(at[0] - x, at[1] - y));
            }
          }
          const [hit] = chainsNear(screen, [flat], x, y, 1e6);
          // The walk's steps are up to about 0.15 pixels long.
          expect(hit.distance).toBeLessThanOrEqual(least + 1e-6);
          expect(hit.distance).toBeGreaterThan(least - 0.15);
          project(screen, ...hit.point, at);
          expect(Math.hypot(at[0] - x, at[1] - y)).toBeCloseTo(hit.distance, 4);
        },
      ),
      { seed: SEED, numRuns: 40 },
    );
  });

  it('keeps to the tolerance, and of two on one line takes the nearer to the eye', () => {
    const camera = new OrthographicCamera(-40, 40, 30, -30, 0, 200);
    camera.position.set(0, 0, 100);
    const screen = screenOf(camera);
    // Ten pixels a mm; the middle is at 400, 300.
    const low = [-10, 0, 0, 10, 0, 0];
    const high = [-10, 0, 5, 10, 0, 5];
    expect(chainsNear(screen, [low, high], 400, 305, 6).map((hit) => hit.chain)).toEqual([1, 0]);
    expect(chainsNear(screen, [low, high], 400, 306.5, 6)).toEqual([]);
    expect(chainsNear(screen, [low], 430, 304, 6)[0].point).toEqual([3, 0, 0]);
  });

  it('passes over chords that begin behind the eye', () => {
    const screen = screenOf(perspective());
    expect(chainsNear(screen, [[-120, -180, 140, -180, -270, 210]], 400, 300, 1e4)).toEqual([]);
  });
});

describe('points under the pointer', () => {
  it('takes the closest that counts, the nearer to the eye of two alike', () => {
    const camera = new OrthographicCamera(-40, 40, 30, -30, 0, 200);
    camera.position.set(0, 0, 100);
    const screen = screenOf(camera);
    const points = [0, 0, 0, 0, 0, 8, 2, 0, 0];
    expect(pointNear(screen, points, 401, 300, 7)).toBe(1);
    expect(pointNear(screen, points, 401, 300, 7, (k) => k !== 1)).toBe(0);
    expect(pointNear(screen, points, 418, 300, 7)).toBe(2);
    expect(pointNear(screen, points, 500, 300, 7)).toBe(-1);
  });
});
