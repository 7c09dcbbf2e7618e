// How far every row stands from what the plan is held against: positive is room to spare, negative is over the limit.
import { leastMargin } from '../../checks/check-arm.ts';
import type { Job } from '../../model/job.ts';
import type { SeamPlan } from '../../planner/plan.ts';
import { QUANTITY, type Quantity } from '../quantity.ts';
import type { ColumnView } from './plan-view.ts';

/** Margins of one seam, NaN where they are not known; those of heat and arm only where there is one. */
export function marginViews({ path, aim, carried, heat, job: seam }: SeamPlan, job: Job): ColumnView[] {
  const { limits, carrier } = job;
  const { count, station } = path.rows;
  const { angle, size, share, temperature, ratio } = QUANTITY;
  const margin = (
    name: string,
    title: string,
    description: string,
    { unit, decimals, scale }: Quantity,
    of: (row: number) => number,
  ): ColumnView => {
    const values = Float64Array.from({ length: count }, (_, row) => of(row) * scale);
    return { name, title, description, unit, decimals, values };
  };
  const under = (name: string, title: string, quantity: Quantity, most: number, values: Float64Array) =>
    margin(name, title, 'Limit less value.', quantity, (row) => most - values[station[row]]);
  const views = [
    under('margin_entry', 'margin of incidence at entry', angle, limits.incidenceEntry, aim.incidenceEntry),
    under('margin_joint', 'margin of incidence at joint', angle, limits.incidenceJoint, aim.incidenceJoint),
    under('margin_layer', 'margin of the layer', size, limits.layer, aim.layer),
    under('margin_gap', 'margin of the gap', size, limits.gap, aim.gap),
    under('margin_clipped', 'margin of the clipped share', share, limits.clipped, aim.clipped),
    margin(
      'margin_capture',
      'margin of capture',
      'Value less limit.',
      share,
      (row) => aim.capture[station[row]] - limits.capture,
    ),
  ];
  if (heat !== null) {
    const { rows, limits: bounds } = heat;
    views.push(
      margin(
        'margin_onset',
        'margin over the weld onset',
        'Peak of the bond plane less the onset.',
        temperature,
        (row) => rows.peak[row] - bounds.onset,
      ),
      margin(
        'margin_decomposition',
        'margin below decomposition',
        'Limit less the hottest point.',
        temperature,
        (row) => bounds.decomposition - rows.hottest[row],
      ),
      margin(
        'margin_width',
        'margin of the weld width',
        'Width less the one wanted.',
        QUANTITY.length,
        (row) => rows.width[row] - seam.width,
      ),
    );
  }
  if (carried !== null && carrier !== null) {
    const { stand } = carried;
    views.push(
      margin(
        'margin_axis',
        'margin of the axes',
        'Angle to the next limit of an axis, less what is kept.',
        QUANTITY.turn,
        (row) => leastMargin(stand, row).margin - carrier.jointMargin,
      ),
      margin(
        'margin_singularity',
        'margin to singular postures',
        'Least singular value less the limit.',
        ratio,
        (row) => stand.margins.singularity[row] - carrier.singularity,
      ),
      margin(
        'margin_reach',
        'margin of reach',
        'Distance of the wrist from the border of its room.',
        QUANTITY.length,
        (row) => stand.margins.reach[row],
      ),
    );
  }
  return views;
}
