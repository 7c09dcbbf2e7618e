// The contact of lid and rib on the sample pod: what its centre line costs, and how far it lies from the middle of the band.
import { closestPoint } from '../../src/geometry/closest-point.ts';
import { pointAt } from '../../src/geometry/curve.ts';
import { createBodyQuery } from '../../src/geometry/mesh-body-query.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import type { Selection } from '../../src/model/job.ts';
import type { Part } from '../../src/model/part.ts';
import type { Seam } from '../../src/model/seam.ts';
import { buildSeam } from '../../src/seam/build-seam.ts';
import { measure, type Row } from './measure.ts';
import { busyTask, importSample } from './metre-scene.ts';

const CONTACT: Selection = { kind: 'contact', bodies: ['lid', 'tub'], tolerance: 0.1, near: null };
const BAND: Selection = { kind: 'band', body: 'tub', near: [-19.87105, -44, 47.564393], follow: 'tangent' };

/** Places at which the two lines are compared. */
const PLACES = 2000;

export async function contactRows(runs: number): Promise<Row[]> {
  const part = await importSample('wave-pod.step', 0.01, 0);
  const fresh = () => sceneOf(part);
  const scene = fresh();
  const draw = (bodies: readonly SceneBody[], select: Selection): Promise<Seam> =>
    buildSeam(
      { name: 'rim', select, offset: 0, startNear: null, reverse: false, head: { axis: 'joint-normal' } },
      bodies,
      busyTask,
    );
  const rows = [
    await measure('wave pod: contact line, nothing kept', runs, (bodies) => draw(bodies, CONTACT), fresh),
    await measure('wave pod: contact line, surfaces kept', runs, () => draw(scene, CONTACT)),
    await measure('wave pod: middle of the band, surfaces kept', runs, () => draw(scene, BAND)),
  ];
  const [contact, band] = [await draw(scene, CONTACT), await draw(scene, BAND)];
  console.log(`wave pod: contact line ${(1000 * apart(contact, band)).toFixed(6)} um from the middle of the band\n`);
  return rows;
}

function sceneOf(part: Part): readonly SceneBody[] {
  return part.bodies.map((body, index) => ({
    part: index,
    name: body.name,
    role: body.name === 'tub' ? 'absorbing' : 'transmissive',
    material: '',
    query: createBodyQuery(body),
  }));
}

/** Largest distance of places on the one curve from the other, mm. */
function apart({ curve }: Seam, other: Seam): number {
  const at = new Float64Array(9);
  let most = 0;
  for (let i = 0; i < PLACES; i++) {
    pointAt(curve, (i * curve.length) / PLACES, at);
    most = Math.max(most, closestPoint(other.curve, at[0], at[1], at[2]).distance);
  }
  return most;
}
