// Aimed from STEP at the default deflection, the beam is sent down again by code of its own and must land on the seam.
import { beforeAll, describe, expect, test } from 'vitest';
import { createCrossings } from '../../src/geometry/mesh-body-query.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Aim } from '../../src/model/aim.ts';
import type { HeadSettings, Selection } from '../../src/model/job.ts';
import type { Path } from '../../src/model/path.ts';
import { aimBeam } from '../../src/beam/aim-beam.ts';
import { samplePath } from '../../src/path/sample-path.ts';
import { lengthOf, plus, type Vector } from '../beam/analytic-bodies.ts';
import { bend, type Dome, sendDown } from '../beam/forward-trace.ts';
import { aimJob, at, DEG, head, plate, task } from '../beam/known-paths.ts';
import { draw, sampleScene } from '../seam/support.ts';

const INDEX = 1.565;
const job = aimJob({ materials: new Map([['lid', plate('lid', INDEX, { value: 0.88, thickness: 3 })]]) });

async function aimSample(
  scene: readonly SceneBody[],
  select: Selection,
  change: Partial<HeadSettings>,
): Promise<{ path: Path; aim: Aim }> {
  const seam = await draw(scene, { select });
  const path = await samplePath(seam, { spacing: 1, chord: 0, runIn: 10, overlap: 8 }, scene, task);
  const bodies = scene.map((body) => ({ ...body, material: body.role === 'transmissive' ? 'lid' : '' }));
  return { path, aim: await aimBeam(path, seam, { head: head(change) }, bodies, job, task) };
}

const POSES: [string, Partial<HeadSettings>][] = [
  ['along the joint normal', {}],
  ['tilted by 12 deg', { tilt: 12 * DEG }],
  ['tilted by -8 deg and leading by 10', { tilt: -8 * DEG, lead: 10 * DEG }],
  ['straight down', { axis: [0, 0, -1] }],
];

// Source: Snell's law and the equation of a sphere (Born & Wolf, sec. 1.5): spheres of 60 and 62 mm round the origin.
// Figure to reach: 2 um for thickness and landing.
describe('dome pair', () => {
  let scene: SceneBody[];
  beforeAll(async () => {
    scene = await sampleScene('dome-pair', { lid: 'transmissive', dome: 'absorbing' });
  });
  const dome: Dome = { centre: [0, 0, 0], rib: 60, inner: 60, outer: 62, index: INDEX };
  const select = { kind: 'band', body: 'dome', near: [38.567257, 0, 45.962667], follow: 'tangent' } as const;

  test.each(POSES)('%s', async (_, change) => {
    const { path, aim } = await aimSample(scene, select, change);
    let [landing, layer] = [0, 0];
    for (let i = 0; i < path.count; i++) {
      const down = sendDown(dome, at(aim.head, i), at(aim.axis, i));
      landing = Math.max(landing, lengthOf(plus(down.landing, -1, at(path.position, i))));
      layer = Math.max(layer, Math.abs(down.layer - aim.layer[i]));
      expect(aim.gap[i]).toBe(0);
      expect(aim.walls[i]).toBe(1);
    }
    expect(path.count).toBeGreaterThan(200);
    expect(landing).toBeLessThan(2e-3);
    expect(layer).toBeLessThan(2e-3);
  });
});

// The free-form pod has no closed form: rays against the mesh, polished hit by hit, refracted by angles, stand in for it.
describe('free-form pod', () => {
  let scene: SceneBody[];
  beforeAll(async () => {
    scene = await sampleScene('tide-pod', { lid: 'transmissive', tub: 'absorbing' });
  });

  const select = { kind: 'band', body: 'tub', near: [-18.166928, -43.388853, 29.67018], follow: 'tangent' } as const;

  test.each(POSES.slice(0, 3))('%s', async (_, change) => {
    const { path, aim } = await aimSample(scene, select, change);
    const lid = scene.find(({ role }) => role === 'transmissive') as SceneBody;
    const hits = createCrossings();
    const vector = (values: Vector) => Float64Array.from(values);
    let worst = 0;
    for (let i = 0; i < path.count; i += 3) {
      const from = at(aim.head, i);
      const axis = at(aim.axis, i);
      expect(lid.query.cast(vector(from), vector(axis), 0, 400, hits)).toBe(true);
      const entry = plus(from, hits.distance[0], axis);
      expect(hits.side[0]).toBe(1);
      const inside = bend(axis, at(hits.normal, 0), 1, INDEX);
      const joint = at(path.position, i);
      const away = plus(joint, -1, entry);
      // Distance of the joint from the ray inside the lid.
      const along = away[0] * inside[0] + away[1] * inside[1] + away[2] * inside[2];
      worst = Math.max(worst, lengthOf(plus(away, -along, inside)));
      expect(Math.abs(along - aim.layer[i])).toBeLessThan(2e-3);
    }
    expect(worst).toBeLessThan(2e-3);
  });
});
