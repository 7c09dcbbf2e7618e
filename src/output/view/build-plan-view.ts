// A plan as a screen shows it: the columns of waypoints.csv unrounded, points and directions row by row, tracks, heat, arm. All arrays
// are copies: they can be handed away.
import type { Plan, SeamPlan } from '../../planner/plan.ts';
import type { Column, NumberColumn } from '../column.ts';
import { axisCount } from '../joint-columns.ts';
import { seamTracks } from '../picture/tracks.ts';
import { QUANTITY } from '../quantity.ts';
import { rowFrames } from '../row-frames.ts';
import { summarise } from '../summary.ts';
import { type Waypoint, waypointColumns } from '../waypoint-columns.ts';
import { armView } from './arm-view.ts';
import { centred } from './build-scene-view.ts';
import { marginViews } from './margins.ts';
import type { ColumnView, PlanView, RibbonView, SeamView } from './plan-view.ts';

/** Ribbons are drawn this far above the joint, so that the face does not shine through, mm. */
const LIFT = 0.05;

/** `centre` as in the scene's view; `complete` is false while heat is still to come. */
export function buildPlanView(plan: Plan, centre: readonly [number, number, number], complete: boolean): PlanView {
  let first = 0;
  const seams = plan.seams.map((seam) => {
    const view = seamView(seam, plan, centre, first);
    first += seam.path.rows.count;
    return view;
  });
  return { version: plan.version, centre, summary: summarise(plan), findings: plan.findings, seams, complete };
}

function seamView(seamPlan: SeamPlan, plan: Plan, centre: readonly number[], firstRow: number): SeamView {
  const { seam, path, aim, timing, carried, job } = seamPlan;
  const { rows } = path;
  const { carrier, optics, placement } = plan.job;
  const atRows = (values: Float64Array) => spread(values, rows.station);
  const points = (values: Float64Array) => centred(atRows(values), centre);
  const directions = (values: Float64Array) => Float32Array.from(atRows(values));
  return {
    name: seam.name,
    closed: path.closed,
    length: path.length,
    edgeIds: seam.edgeIds,
    count: rows.count,
    s: rows.s.slice(),
    time: timing.time.slice(),
    phase: rows.phase.slice(),
    beam: Uint8Array.from(timing.beam),
    joint: points(path.position),
    tcp: points(aim.tcp),
    head: points(aim.head),
    entry: points(aim.entry),
    normal: directions(path.normal),
    tangent: directions(path.tangent),
    axis: directions(aim.axis),
    width: job.width,
    exitRadius: optics.exitRadius,
    spotRadius: Float32Array.from(rows.station, (i) => Math.min(aim.spotAlong[i], aim.spotAcross[i])),
    columns: columnViews(seamPlan, axisCount(plan), firstRow),
    margins: marginViews(seamPlan, plan.job),
    tracks: seamTracks(seamPlan, plan.job),
    ribbon: ribbonView(seamPlan, centre),
    arm: carried === null || carrier === null ? null : armView(carrier, carried.stand.posture, placement, centre),
    window: seamPlan.window,
  };
}

/** The three values of each row's station, row by row. */
function spread(values: Float64Array, station: Uint32Array): Float64Array {
  const out = new Float64Array(3 * station.length);
  for (let row = 0; row < station.length; row++) {
    for (let axis = 0; axis < 3; axis++) out[3 * row + axis] = values[3 * station[row] + axis];
  }
  return out;
}

const isNumber = (column: Column<Waypoint>): column is NumberColumn<Waypoint> => column.quantity !== null;

function columnViews(seam: SeamPlan, axes: number, firstRow: number): ColumnView[] {
  const { station, count } = seam.path.rows;
  const frame = rowFrames(seam);
  const waypoints = Array.from(
    { length: count },
    (_, row): Waypoint => ({ index: firstRow + row, seam, row, station: station[row], frame }),
  );
  return waypointColumns(axes)
    .filter(isNumber)
    .map(({ name, title, description, quantity, value }) => ({
      name,
      title,
      description,
      unit: quantity.unit,
      decimals: quantity.decimals,
      values: Float64Array.from(waypoints, (waypoint) => value(waypoint) * quantity.scale),
    }));
}

function ribbonView({ heat, path }: SeamPlan, centre: readonly number[]): RibbonView | null {
  if (heat === null) return null;
  const { count, across } = heat;
  const lifted = heat.position.map(
    (value, k) => value + LIFT * path.normal[3 * Math.floor(k / (3 * across)) + (k % 3)],
  );
  const onSeam = (values: Float64Array) =>
    values.map((value, k) => (path.onSeam[Math.floor(k / across)] === 1 ? value : Number.NaN));
  const { fluence, temperature, time } = QUANTITY;
  const of = (
    name: string,
    title: string,
    { unit, decimals }: typeof fluence | typeof time | typeof temperature,
    values: Float64Array,
  ) => ({
    name,
    title,
    unit,
    decimals,
    values: onSeam(values),
  });
  return {
    stations: count,
    across,
    closed: path.closed,
    offset: heat.offset.slice(),
    s: path.s.slice(),
    stationOfRow: path.rows.station.slice(),
    position: centred(lifted, centre),
    quantities: [
      of('ribbon_fluence', 'fluence', fluence, heat.fluence),
      of('ribbon_peak', 'peak temperature', temperature, heat.peak),
      of('ribbon_hottest', 'hottest below the joint', temperature, heat.hottest),
      of('ribbon_above', 'time above the weld onset', time, heat.aboveOnset),
    ],
  };
}
