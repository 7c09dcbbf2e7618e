// What the arm's part of a seam comes to in a few figures, as a record and as lines of text.
import { axisUse } from '../checks/axis-use.ts';
import { leastMargin } from '../checks/check-arm.ts';
import type { Carrier } from '../model/job.ts';
import { DEG_PER_RAD } from '../model/units.ts';
import type { SeamPlan } from '../planner/plan.ts';

/** Figures of the arm along one seam; null where nothing could be computed. */
export interface ArmSummary {
  readonly id: string;
  readonly head: string;
  /** Length of the rows' way that the arm cannot do, mm. */
  readonly blocked_mm: number;
  readonly closure: string;
  readonly closure_turns: readonly number[];
  /** Smallest and largest turn of the head about the beam. */
  readonly turn_deg: readonly [number, number];
  readonly least_margin: { readonly axis: string; readonly deg: number; readonly at_mm: number } | null;
  readonly least_singularity: number | null;
  readonly axis_use: readonly { readonly axis: string; readonly speed: number; readonly acceleration: number }[];
  readonly nearest: {
    readonly envelope: string;
    readonly obstacle: string;
    readonly mm: number;
    readonly at_mm: number;
  } | null;
  /** Time of the moves from home to the seam and back, s; null where one of them is missing. */
  readonly travel_s: number | null;
}

export function summariseArm({ path, carried, timing }: SeamPlan, carrier: Carrier | null): ArmSummary | null {
  if (carried === null || carrier === null) return null;
  const { stand, room } = carried;
  const { posture, margins, travel } = stand;
  const { s } = path.rows;
  let tightest = -1;
  let stiffest = -1;
  for (let row = 0; row < posture.count; row++) {
    if (Number.isNaN(posture.angle[posture.axes * row])) continue;
    if (tightest < 0 || leastMargin(stand, row).margin < leastMargin(stand, tightest).margin) tightest = row;
    if (stiffest < 0 || margins.singularity[row] < margins.singularity[stiffest]) stiffest = row;
  }
  const turns = stand.turn.map((turn) => turn * DEG_PER_RAD);
  const least = tightest < 0 ? null : leastMargin(stand, tightest);
  const nearest = room.along[0];
  return {
    id: carrier.arm.id,
    head: carrier.head.id,
    blocked_mm: posture.blocked.reduce((sum, { from, to }) => sum + to - from, 0),
    closure: posture.closure,
    closure_turns: Array.from(posture.closureTurns),
    turn_deg: [turns.reduce((a, b) => Math.min(a, b)), turns.reduce((a, b) => Math.max(a, b))],
    least_margin:
      least === null
        ? null
        : { axis: carrier.arm.axes[least.axis].name, deg: least.margin * DEG_PER_RAD, at_mm: s[tightest] },
    least_singularity: stiffest < 0 ? null : margins.singularity[stiffest],
    axis_use: axisUse(carrier.arm, posture, timing).map(({ speed, acceleration }, j) => ({
      axis: carrier.arm.axes[j].name,
      speed,
      acceleration,
    })),
    nearest:
      nearest === undefined
        ? null
        : {
            envelope: nearest.envelope,
            obstacle: nearest.obstacle,
            mm: nearest.smallest,
            at_mm: s[nearest.row],
          },
    travel_s: travel.moves.length < 4 ? null : travel.moves.reduce((sum, { time }) => sum + time, 0),
  };
}

const CLOSURES: Readonly<Record<string, string>> = {
  same: 'closes in the same posture',
  turns: 'closes with axes turned round',
  other: 'ends in another posture',
};

/** Label and text of each line. */
export function armLines(arm: ArmSummary): (readonly [string, string])[] {
  const [low, high] = arm.turn_deg.map((turn) => turn.toFixed(1));
  const ends = CLOSURES[arm.closure];
  const closes = arm.blocked_mm > 0 || ends === undefined ? '' : `; ${ends}`;
  const blocked = arm.least_margin === null ? '; no posture at all' : '';
  const lines: (readonly [string, string])[] = [
    ['arm', `${arm.id} with ${arm.head}; turn ${low === high ? low : `${low} to ${high}`} deg${closes}${blocked}`],
  ];
  const { least_margin: margin, nearest } = arm;
  if (margin !== null) {
    const singular = arm.least_singularity === null ? '' : `; singularity ${arm.least_singularity.toFixed(3)}`;
    lines.push([
      'joints',
      `${margin.axis} within ${margin.deg.toFixed(1)} deg of its limit at ${margin.at_mm.toFixed(1)} mm${singular}`,
    ]);
  }
  const most = (key: 'speed' | 'acceleration'): string => {
    const use = arm.axis_use.reduce((a, b) => (b[key] > a[key] ? b : a));
    return `${use.axis} ${(use[key] * 100).toFixed(1)} % of its ${key}`;
  };
  lines.push(['axes', `${most('speed')}, ${most('acceleration')}`]);
  if (nearest !== null) {
    lines.push([
      'clearance',
      `${nearest.mm.toFixed(1)} mm from ${nearest.envelope} to ${nearest.obstacle} at ${nearest.at_mm.toFixed(1)} mm`,
    ]);
  }
  if (arm.travel_s !== null) lines.push(['travel', `${arm.travel_s.toFixed(2)} s from home and back`]);
  return lines;
}
