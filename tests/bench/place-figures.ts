// How much faster a search for placements is on two cores than on one: the sample pod before its arm, workers started anew
// for each run, the part read and aimed before the clock starts.
import { placementCell } from '../../src/planner/evaluate-placement.ts';
import { placePart } from '../../src/planner/place-part.ts';
import { placementGrid } from '../../src/planner/placement-grid.ts';
import { createPlanner } from '../../src/planner/planner.ts';
import { createNodeHost } from '../../src/worker/node-host.ts';
import { createPlacementPool } from '../../src/worker/placement-pool.ts';
import { type Row, rowOf } from './measure.ts';
import { busyTask, catalogue, sampleJobFile } from './metre-scene.ts';

const JOB = 'wave-pod-arm.job.json';

/** Rows of `runs` searches with one worker and as many with two, in turn. */
export async function placeFigures(runs: number): Promise<Row[]> {
  const planner = createPlanner(createNodeHost(new URL('../../sample-parts/', import.meta.url).pathname), catalogue);
  const jobFile = sampleJobFile(JOB);
  const { carrier, search } = (await planner.read(jobFile, JOB)).job;
  if (carrier === null || search === null) throw new Error('the measured job has no arm or no search');
  const cell = placementCell(await planner.plan({ ...jobFile, arm: null }, JOB, busyTask), carrier);
  const grid = placementGrid(search, JOB);
  const times: Record<number, number[]> = { 1: [], 2: [] };
  let looked = '';
  for (let run = 0; run < runs; run++) {
    for (const workers of [1, 2]) {
      const start = performance.now();
      const pool = createPlacementPool(workers, busyTask.signal);
      pool.begin(cell);
      const { ranked, planned } = await placePart(grid, pool.evaluate, busyTask);
      await pool.close();
      times[workers].push(performance.now() - start);
      looked = `${ranked.length} placements, ${planned} planned`;
    }
  }
  const rows = [1, 2].map((workers) => rowOf(`place, ${looked}, workers: ${workers}`, times[workers]));
  console.log(
    `place: ${(rows[0].median_ms / rows[1].median_ms).toFixed(2)} times faster with two workers than with one\n`,
  );
  return rows;
}
