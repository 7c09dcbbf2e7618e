// The files of a search for placements: placements.csv with its metadata, and placements.json.
import type { PlacementBlock, PlacementRanking, PlacementSearch, RankedPlacement } from '../model/placement.ts';
import type { Job } from '../model/job.ts';
import type { PlanInput } from '../planner/plan.ts';
import { CAUTION } from './caution.ts';
import { fieldOf } from './column.ts';
import { csvText } from './csv-text.ts';
import { csvwText, metadataOf } from './csvw-text.ts';
import { roundedNumber } from './decimal-text.ts';
import { jsonText } from './json-text.ts';
import { PLACEMENT_COLUMNS } from './placement-columns.ts';
import { QUANTITY, type Quantity } from './quantity.ts';
import type { OutputFile } from './render-outputs.ts';

export const PLACEMENTS_FILE = 'placements.csv';
const PLACEMENTS_JSON_FILE = 'placements.json';

/** What was searched, and what came of it. */
export interface PlacementReport {
  readonly version: string;
  readonly inputs: readonly PlanInput[];
  readonly job: Pick<Job, 'title' | 'carrier'>;
  readonly ranking: PlacementRanking;
}

/** In the order in which they are to be written; the same ranking gives the same bytes. */
export function renderPlacements(report: PlacementReport): OutputFile[] {
  const rows = report.ranking.ranked.map((ranked, index) => ({ rank: index + 1, ranked }));
  const table = csvText(
    PLACEMENT_COLUMNS.map((column) => column.name),
    rows.map((row) => PLACEMENT_COLUMNS.map((column) => fieldOf(column, row))),
  );
  const words = {
    file: PLACEMENTS_FILE,
    title: `${report.job.title}: placements`,
    description:
      "One row a placement of the part before the arm, best first: what nothing blocks, then length done, share at process speed, margin. Planned placements come before estimated ones. Frames are the part's in the arm's base frame.",
    properties: [],
    key: 'rank',
  };
  return [
    { name: PLACEMENTS_FILE, content: table },
    { name: metadataOf(PLACEMENTS_FILE), content: csvwText(PLACEMENT_COLUMNS, words) },
    { name: PLACEMENTS_JSON_FILE, content: placementsJson(report) },
  ];
}

const Q = QUANTITY;
const written = (value: number, { decimals, scale }: Quantity): number | null => roundedNumber(value * scale, decimals);

function placementsJson({ version, inputs, job, ranking }: PlacementReport): string {
  return jsonText({
    format: 'raythread-placements/1',
    program: { name: 'raythread', version },
    caution: CAUTION,
    title: job.title,
    inputs: inputs.map(({ file, sha256, bytes }) => ({ file, sha256, bytes })),
    arm: job.carrier?.arm.id,
    mount: job.carrier?.head.id,
    search: describeSearch(ranking.search),
    ...describeRanking(ranking),
    placements: ranking.ranked.map((ranked, index) => ({ rank: index + 1, ...describePlacement(ranked) })),
  });
}

function describeSearch(search: PlacementSearch): object {
  return {
    position_mm: search.position.map((range) => range.map((value) => written(value, Q.length))),
    rotation_deg: search.rotation.map((range) => range.map((value) => written(value, Q.turn))),
    step_mm: written(search.positionStep, Q.length),
    step_deg: written(search.rotationStep, Q.turn),
    levels: search.levels,
    keep: search.keep,
  };
}

/** How many there are, and what stands in the way. */
export function describeRanking({ ranked, planned, fits, hindrances }: PlacementRanking): object {
  return {
    looked_at: ranked.length,
    planned,
    fits,
    in_the_way: hindrances.map(({ move, why, axis, pair, placements, share }) => ({
      ...(move === '' ? {} : { move }),
      why,
      ...where(axis, pair),
      placements,
      mean_share: written(share, Q.share),
    })),
  };
}

/** One placement in the units of files. */
export function describePlacement(ranked: RankedPlacement): object {
  const { placement, fidelity, blocks } = ranked;
  return {
    figures: fidelity,
    position_mm: placement.position.map((value) => written(value, Q.length)),
    rotation_deg: placement.rotation.map((value) => written(value, Q.turn)),
    length_mm: written(ranked.length, Q.size),
    done_mm: written(ranked.done, Q.size),
    full_speed: written(ranked.speedShare, Q.share),
    margin: written(ranked.margin, Q.ratio),
    joint_margin_deg: written(ranked.jointMargin, Q.turn),
    joint_margin_axis: ranked.jointAxis < 0 ? null : ranked.jointAxis + 1,
    singularity: written(ranked.singularity, Q.ratio),
    clearance_mm: written(ranked.clearance, Q.length),
    cycle_s: written(ranked.cycle, Q.time),
    blocks: blocks.map(describeBlock),
  };
}

function describeBlock({ seam, move, why, axis, pair, from, to, length, excess }: PlacementBlock): object {
  const size =
    why === 'payload'
      ? { excess_kg: written(excess, Q.ratio) }
      : axis < 0
        ? { excess_mm: written(excess, Q.length) }
        : { excess_deg: written(excess, Q.turn) };
  const stretch = Number.isNaN(from)
    ? {}
    : { from_mm: written(from, Q.length), to_mm: written(to, Q.length), length_mm: written(length, Q.size) };
  const at = { ...(seam === '' ? {} : { seam }), ...(move === '' ? {} : { move }), ...stretch };
  return { ...at, why, ...where(axis, pair), ...size };
}

const where = (axis: number, pair: string): object => ({
  ...(axis < 0 ? {} : { axis: axis + 1 }),
  ...(pair === '' ? {} : { pair }),
});
