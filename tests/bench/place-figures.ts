// How much faster a search for placements is on two cores than on one: the sample pod before its arm. Before the clock starts
// the part is read and aimed, and new workers are loaded: the command does both at the same time.
import { placementCell } from '../../src/planner/evaluate-placement.ts';
import { placePart } from '../../src/planner/place-part.ts';
import { placementGrid } from '../../src/planner/placement-grid.ts';
import { createPlanner } from '../../src/planner/planner.ts';
import { createNodeHost } from '../../src/worker/node-host.ts';
import { createPlacementPool } from '../../src/worker/placement-pool.ts';
import { type Row, rowOf } from './measure.ts';
import { busyTask, catalogue, sampleJobFile } from './metre-scene.ts';

const JOB = 'wave-pod-arm.job.json';

/** The job's own search, and one long enough for the warm-up of each worker (its code is compiled as it runs) to count little. */
const SEARCHES = [
  { name: 'place', finer: {}, most: 3 },
  { name: 'place on a fine grid', finer: { positionStep: 25, keep: 24 }, most: 1 },
] as const;

/** Rows of up to `runs` searches with one worker and as many with two, in turn. */
export async function placeFigures(runs: number): Promise<Row[]> {
  const planner = createPlanner(createNodeHost(new URL('../../sample-parts/', import.meta.url).pathname), catalogue);
  const jobFile = sampleJobFile(JOB);
  const { carrier, search, placement: first } = (await planner.read(jobFile, JOB)).job;
  if (carrier === null || search === null) throw new Error('the measured job has no arm or no search');
  const cell = placementCell(await planner.plan({ ...jobFile, arm: null }, JOB, busyTask), carrier);
  const rows: Row[] = [];
  for (const { name, finer, most } of SEARCHES) {
    const grid = placementGrid({ ...search, ...finer }, JOB);
    const times: Record<number, number[]> = { 1: [], 2: [] };
    let looked = '';
    for (let run = 0; run < Math.min(runs, most); run++) {
      for (const workers of [1, 2]) {
        const pool = createPlacementPool(workers, busyTask.signal);
        pool.begin(cell);
        await pool.evaluate(new Array(workers).fill(first), 'estimated', async () => undefined);
        const start = performance.now();
        const { ranked, planned } = await placePart(grid, pool.evaluate, busyTask);
        times[workers].push(performance.now() - start);
        await pool.close();
        looked = `${ranked.length} placements, ${planned} planned`;
      }
    }
    const [one, two] = [1, 2].map((workers) => rowOf(`${name}, ${looked}, workers: ${workers}`, times[workers]));
    console.log(`${name}: ${(one.median_ms / two.median_ms).toFixed(2)} times faster with two workers than with one`);
    rows.push(one, two);
  }
  return rows;
}
