// Columns of the arm's joints, one an axis: none where a plan is made without an arm.
import type { Plan } from '../planner/plan.ts';
import type { NumberColumn } from './column.ts';
import { QUANTITY } from './quantity.ts';

/** Axes of the plan's arm; 0 without one. */
export const axisCount = ({ job }: Plan): number => job.carrier?.arm.axes.length ?? 0;

/** `q1_deg` and so on; `angles` gives the angles of a row's posture, rad, with NaN where there is none. */
export function jointColumns<Row>(axes: number, angles: (row: Row) => ArrayLike<number>): NumberColumn<Row>[] {
  return Array.from({ length: axes }, (_, j) => ({
    name: `q${j + 1}_deg`,
    quantity: QUANTITY.jointAngle,
    title: `axis ${j + 1}`,
    description: `Angle of axis ${j + 1}, counted from the base; only where the job names an arm, empty where the arm cannot stand.`,
    value: (row) => angles(row)[j],
    required: false,
  }));
}
