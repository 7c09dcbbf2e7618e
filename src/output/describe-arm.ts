// The arm's part of plan.json: what carries the head, how it stands along a seam, and what is near it.
import { type AxisUse, axisUse } from '../checks/axis-use.ts';
import { shareOfMove } from '../checks/check-arm.ts';
import type { Carrier } from '../model/job.ts';
import type { Clearance } from '../model/posture.ts';
import type { SeamPlan } from '../planner/plan.ts';
import { roundedNumber } from './decimal-text.ts';
import { QUANTITY, type Quantity } from './quantity.ts';

const Q = QUANTITY;
const list = (values: ArrayLike<number>, { scale, decimals }: Quantity): (number | null)[] =>
  Array.from(values, (value) => roundedNumber(value * scale, decimals));
const one = (value: number, quantity: Quantity): number | null => list([value], quantity)[0];

/** Arm and head as they were understood; limits that do not exist are null. */
export function describeCarrier({ arm, head, clearance, jointMargin, singularity, turnRate }: Carrier): object {
  return {
    id: arm.id,
    title: arm.title,
    kind: arm.model.kind,
    payload_kg: one(arm.payload, Q.ratio),
    axes: arm.axes.map((axis) => ({
      name: axis.name,
      min_deg: one(axis.min, Q.jointAngle),
      max_deg: one(axis.max, Q.jointAngle),
      speed_deg_s: one(axis.speed, Q.jointAngle),
      acceleration_deg_s2: one(axis.acceleration, Q.jointAngle),
    })),
    home_deg: list(arm.home, Q.jointAngle),
    head: {
      id: head.id,
      title: head.title,
      mass_kg: one(head.mass, Q.ratio),
      flange_to_head: {
        position_mm: list(head.flangeToHead.position, Q.length),
        rotation_deg: list(head.flangeToHead.rotation, Q.jointAngle),
      },
    },
    clearance_mm: one(clearance, Q.length),
    joint_margin_deg: one(jointMargin, Q.jointAngle),
    singularity: one(singularity, Q.ratio),
    turn_rate_deg_mm: one(turnRate, Q.turnRate),
  };
}

/** Postures, margins, moves and clearances of one seam; vectors over the axes are written one row after another. */
export function describeCarried({ path, carried, timing }: SeamPlan, carrier: Carrier | null): object | undefined {
  if (carried === null || carrier === null) return undefined;
  const { stand, room } = carried;
  const { posture, margins, travel } = stand;
  const at = (row: number): number | null => (row < 0 ? null : one(path.rows.s[row], Q.length));
  return {
    axes: posture.axes,
    closure: posture.closure,
    closure_turns: Array.from(posture.closureTurns),
    blocked: posture.blocked.map(({ from, to, why, axis, excess }) => ({
      from_mm: one(from, Q.length),
      to_mm: one(to, Q.length),
      why,
      axis: axis < 0 ? null : carrier.arm.axes[axis].name,
      excess: one(excess, why === 'joint-limit' ? Q.jointAngle : Q.length),
      unit: why === 'joint-limit' ? 'deg' : 'mm',
    })),
    stray: { distance_mm: one(stand.stray.distance, Q.length), angle_deg: one(stand.stray.angle, Q.jointAngle) },
    wrist_offset_mm: one(stand.wristOffset, Q.length),
    axis_use: axisUse(carrier.arm, posture, timing).map((use: AxisUse, j) => ({
      axis: carrier.arm.axes[j].name,
      speed: one(use.speed, Q.ratio),
      speed_at_mm: at(use.speedRow),
      acceleration: one(use.acceleration, Q.ratio),
      acceleration_at_mm: at(use.accelerationRow),
    })),
    rows: {
      turn_deg: list(stand.turn, Q.jointAngle),
      branch: Array.from(stand.branch),
      q_deg: list(posture.angle, Q.jointAngle),
      q_d1_deg_mm: list(posture.angleD1, Q.turnRate),
      q_d2_deg_mm2: list(posture.angleD2, Q.turnRateChange),
      limit_margin_deg: list(margins.limit, Q.jointAngle),
      umbilical_margin_deg: list(margins.umbilical, Q.jointAngle),
      singularity: list(margins.singularity, Q.ratio),
      manipulability_mm3: list(margins.manipulability, Q.ratio),
      reach_margin_mm: list(margins.reach, Q.length),
    },
    moves: travel.moves.map((move) => ({
      name: move.name,
      time_s: one(move.time, Q.time),
      q_deg: list(move.angle, Q.jointAngle),
      clearances: (room.moves.find(({ name }) => name === move.name)?.clearances ?? []).map((clearance) => ({
        ...describeClearance(clearance),
        at_share: one(shareOfMove(move, posture.axes, clearance.row), Q.ratio),
      })),
    })),
    clearances: room.along.map((clearance) => ({ ...describeClearance(clearance), at_mm: at(clearance.row) })),
  };
}

const describeClearance = ({ owner, envelope, obstacle, smallest }: Clearance): object => ({
  owner,
  envelope,
  obstacle,
  smallest_mm: one(smallest, Q.length),
});
