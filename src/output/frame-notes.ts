// The frames that positions and tool frames are given in, as annotations for CSVW: schema.org PropertyValue terms, a prefix
// that CSVW knows. Habits of ISO 9787: base frame of the arm, tool frame with z along the tool's direction of work.
// One number an annotation: an array would lose its order in RDF, and CSVW allows no JSON-LD lists.
import { flangeToTool } from '../arm/tool-path.ts';
import { rigidFromAngles, rigidQuaternion } from '../geometry/rigid.ts';
import type { Plan } from '../planner/plan.ts';
import { roundedNumber } from './decimal-text.ts';
import { QUANTITY, type Quantity } from './quantity.ts';

export interface PropertyValue {
  readonly '@type': 'schema:PropertyValue';
  readonly 'schema:propertyID': string;
  readonly 'schema:description': string;
  readonly 'schema:value'?: number | null;
  /** UCUM code. */
  readonly 'schema:unitCode'?: string;
}

/** A statement with a number, in the units inside, or without one. */
export function propertyValue(id: string, description: string, value?: number, quantity?: Quantity): PropertyValue {
  const words = {
    '@type': 'schema:PropertyValue',
    'schema:propertyID': id,
    'schema:description': description,
  } as const;
  if (value === undefined || quantity === undefined) return words;
  return {
    ...words,
    'schema:value': roundedNumber(value * quantity.scale, quantity.decimals),
    'schema:unitCode': quantity.unit,
  };
}

/** Position, angles and quaternion of the part frame in the arm's base frame; the tool frame; the head point in it. */
export function frameNotes(plan: Plan): PropertyValue[] {
  const { position, rotation } = plan.job.placement;
  const quaternion = rigidQuaternion(rigidFromAngles(position, rotation));
  return [
    ...['x', 'y', 'z'].map((axis, k) =>
      propertyValue(
        `part-in-base.${axis}`,
        `Origin of the part frame in the arm's base frame, ${axis}.`,
        position[k],
        QUANTITY.length,
      ),
    ),
    ...['A', 'B', 'C'].map((angle, k) =>
      propertyValue(
        `part-in-base.${angle}`,
        `Turn of the part frame about ${'xyz'[k]} of the base frame: R = Rz(C) Ry(B) Rx(A); a point p of the table lies at R p + origin in the base frame.`,
        rotation[k],
        QUANTITY.angle,
      ),
    ),
    ...['w', 'x', 'y', 'z'].map((part, k) =>
      propertyValue(
        `part-in-base.q${part}`,
        `The same rotation as a unit quaternion, ${part}.`,
        quaternion[k],
        QUANTITY.component,
      ),
    ),
    propertyValue(
      'tool-frame',
      `Tool frame in the habit of ISO 9787: origin at the tool centre point, where the focus would lie without the part; z along the beam axis towards the part; ${
        plan.job.carrier === null
          ? 'x as near as possible to the direction of travel at the start of the seam, then carried along as the turn of the head asks'
          : 'x turned about the beam as the arm holds the head'
      }.`,
    ),
    ...plan.job.seams.map(({ name, head }) =>
      propertyValue(
        `head-in-tool.z.${name}`,
        `Head point in the tool frame, seam ${name}: one standoff back along z, no offset along x and y, no turn.${plan.job.carrier === null ? ' The flange lies where the drawing of the head puts it.' : ''}`,
        -head.standoff,
        QUANTITY.length,
      ),
    ),
    ...flangeNotes(plan),
  ];
}

/** Where the tool frame of each seam stands in the flange frame; nothing without an arm. */
function flangeNotes({ job }: Plan): PropertyValue[] {
  const { carrier } = job;
  if (carrier === null) return [];
  return job.seams.flatMap(({ name, head }) => {
    const tool = flangeToTool(carrier.head, head.standoff);
    const turn = rigidQuaternion(tool);
    return [
      ...['x', 'y', 'z'].map((axis, k) =>
        propertyValue(
          `tool-in-flange.${axis}.${name}`,
          `Tool centre point in the flange frame, seam ${name}, ${axis}.`,
          tool.translation[k],
          QUANTITY.length,
        ),
      ),
      ...['w', 'x', 'y', 'z'].map((part, k) =>
        propertyValue(
          `tool-in-flange.q${part}.${name}`,
          `Tool frame in the flange frame, seam ${name}, as a unit quaternion, ${part}.`,
          turn[k],
          QUANTITY.component,
        ),
      ),
    ];
  });
}
