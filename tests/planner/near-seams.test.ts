// Two straight seams side by side, welded one after the other.
import { describe, expect, test } from 'vitest';
import { checkLaterPass } from '../../src/checks/check-heat.ts';
import { readCatalogue } from '../../src/worker/catalogue.ts';
import { steadyPass } from '../../src/heat/steady-pass.ts';
import type { Heat } from '../../src/model/heat.ts';
import type { JobSeam } from '../../src/model/job.ts';
import { heatCase } from '../../src/planner/heat-case.ts';
import { laterPass } from '../../src/planner/near-seams.ts';
import { plainJob, plainSeam } from '../checks/plain-job.ts';
import { linePath, plainAim, SEAM } from '../motion/plain-seam.ts';

const { materials } = readCatalogue();
const parts = plainJob().parts.map((part) => ({
  ...part,
  material: part.material.replace('pc-black', 'pc-carbon-black'),
}));
const job = plainJob({ parts, materials });
const ENERGY = 0.3;

/** A seam moved sideways by y mm and up by z mm. */
function planned(name: string, y: number, z = 0) {
  const path = linePath();
  for (let i = 0; i < path.count; i++) path.position.set([path.position[3 * i], y, z], 3 * i);
  const seam = { ...plainSeam(path), name, faces: [{ from: 0, ref: { part: 1, face: 0 } }] };
  const aim = plainAim(path);
  const jobSeam: JobSeam = { ...SEAM, name, process: { ...SEAM.process, lineEnergy: ENERGY } };
  const warm = heatCase(job, jobSeam, seam, aim);
  if (warm === null) throw new Error('the materials are known');
  return { job: jobSeam, seam, path, aim, heat: { limits: warm.settings.limits } as Heat, warm };
}

describe('a seam beside another that is welded later', () => {
  test('is made as hot as a steady pass makes that distance', () => {
    const seams = [planned('one', 0), planned('two', 0.7)];
    const later = laterPass(seams, 0, job);
    const { window } = seams[1].warm;
    const spot = { profile: window.profile, along: 0.9, across: 0.9, speed: 50, power: 50 * ENERGY };
    const walls = { left: window.left, right: window.right };
    const pass = steadyPass(spot, window.medium, Number.POSITIVE_INFINITY, 0.7, 3, walls);
    // Straight between lines 0.09 mm apart.
    expect(Math.abs((later?.peak[120] ?? Number.NaN) - 23 - pass.peak[2])).toBeLessThan(1);
    expect(later?.distance[120]).toBeCloseTo(0.7, 9);
    if (later === null) throw new Error('it comes near');
    const [found, more] = checkLaterPass(seams[0].path, later, 100, 'one');
    expect(found).toMatchObject({ code: 'passes-close', seam: 'one', from: 0, to: 100, limit: 100 });
    expect(found.sentence).toContain('Seam two, 0.70 mm away, warms the seam again to');
    expect(more).toBeUndefined();
    expect(checkLaterPass(seams[0].path, later, 400, 'one')).toEqual([]);
  });

  test('not by an earlier seam, by one far beside or above it, or where no heat is known', () => {
    const [one, two] = [planned('one', 0), planned('two', 0.7)];
    expect(laterPass([one, two], 1, job)).toBeNull();
    expect(laterPass([one, planned('two', 2)], 0, job)).toBeNull();
    expect(laterPass([one, planned('two', 0, 30)], 0, job)).toBeNull();
    expect(laterPass([{ ...one, heat: null }, two], 0, job)).toBeNull();
  });

  test('the hottest of several counts', () => {
    const later = laterPass([planned('one', 0), planned('two', 1.4), planned('three', 1)], 0, job);
    expect(later?.seam[100]).toBe('three');
  });
});
