// What the arm cannot do along a seam, or does with little room: reach, limits, postures, singularities, what its envelopes
// come near to, and the moves around the weld.
import type { Finding } from '../model/finding.ts';
import type { Carrier, Job, JobSeam } from '../model/job.ts';
import type { Path } from '../model/path.ts';
import type { Blocked, Clearance, Move, Room, Stand, TravelProblem } from '../model/posture.ts';
import type { Timing } from '../model/timing.ts';
import { DEG_PER_RAD } from '../model/units.ts';
import { type Along, ask, createFinding, placeText } from './ask.ts';
import { axisUse } from './axis-use.ts';
import { THRESHOLDS } from './severity.ts';
import { ACCURACY, isOver, isUnder } from './tolerance.ts';

/** What the arm's stages found along a seam. */
export interface CarriedRecords {
  readonly stand: Stand;
  readonly room: Room;
}

/** Findings of a seam that an arm drives; none without an arm. */
export function checkArm(
  path: Path,
  carried: CarriedRecords | null,
  timing: Timing,
  jobSeam: JobSeam,
  job: Job,
): Finding[] {
  const { carrier } = job;
  if (carried === null || carrier === null) return [];
  const { stand, room } = carried;
  const along: Along = { seam: jobSeam.name, s: path.rows.s, period: 0 };
  return [
    ...stand.posture.blocked.map((blocked) => blockedFinding(blocked, jobSeam.name, carrier)),
    ...marginFindings(along, stand, carrier),
    ...closureFindings(along, stand, carrier),
    ...solverFindings(along, stand, jobSeam, job),
    ...useFindings(along, stand, timing, carrier),
    ...roomFindings(along, room, carrier),
    ...travelFindings(along, stand, room, carrier),
  ];
}

/** Whether fibre and hoses, not the arm, end the range of the last axis on either side. */
function isUmbilical(axis: number, { arm, head }: Carrier): boolean {
  if (head.umbilical === null || axis !== arm.axes.length - 1) return false;
  const { min, max } = arm.axes[axis];
  const { neutral, limit } = head.umbilical;
  return neutral - limit > min || neutral + limit < max;
}

function blockedFinding({ from, to, why, axis, excess }: Blocked, seam: string, carrier: Carrier): Finding {
  const place = placeText({ from, to }, 0);
  const stretch = { seam, from, to, at: from };
  if (why === 'out-of-reach') {
    const by = Number.isNaN(excess) ? '' : `: ${excess.toFixed(1)} mm are missing`;
    const sentence = `The arm does not reach the seam ${place}${by}`;
    return createFinding('out-of-reach', { ...stretch, value: excess, limit: 0, unit: 'mm', sentence });
  }
  if (why === 'no-continuous-branch') {
    const sentence = `The arm has postures ${place}, but no way into them without changing shoulder, elbow or wrist`;
    return createFinding('posture-change', { ...stretch, sentence });
  }
  const { name } = carrier.arm.axes[axis];
  const value = excess * DEG_PER_RAD;
  const umbilical = isUmbilical(axis, carrier);
  const what = umbilical ? 'what fibre and hoses of the head allow' : 'its limit';
  const sentence = `Axis ${name} would have to go ${value.toFixed(1)} deg beyond ${what} ${place}`;
  const code = umbilical ? 'umbilical' : 'joint-limit';
  return createFinding(code, { ...stretch, value, limit: 0, unit: 'deg', sentence });
}

/** Axis with the least distance to a limit at a row, the umbilical's included, and that distance, rad. */
export function leastMargin(
  { margins }: Pick<Stand, 'margins'>,
  row: number,
): { readonly axis: number; readonly margin: number } {
  const n = margins.limit.length / margins.umbilical.length;
  let axis = n - 1;
  let margin = margins.umbilical[row];
  for (let j = 0; j < n; j++) {
    if (margins.limit[n * row + j] < margin) {
      margin = margins.limit[n * row + j];
      axis = j;
    }
  }
  return { axis, margin };
}

function marginFindings(along: Along, stand: Stand, { arm, jointMargin, singularity }: Carrier): Finding[] {
  const { margins } = stand;
  const limit = jointMargin * DEG_PER_RAD;
  const margin = (i: number) => leastMargin(stand, i).margin;
  return [
    ...ask(along, {
      code: 'joint-margin',
      out: (i) => isUnder(margin(i), jointMargin, ACCURACY.angle),
      value: (i) => margin(i) * DEG_PER_RAD,
      badness: (i) => -margin(i),
      limit,
      unit: 'deg',
      sentence: (deg, place, i) =>
        `Axis ${arm.axes[leastMargin(stand, i).axis].name} comes within ${deg.toFixed(1)} deg of its limit ${place} (keeps ${limit.toFixed(1)} deg)`,
    }),
    ...ask(along, {
      code: 'singularity',
      out: (i) => isUnder(margins.singularity[i], singularity, 0),
      value: (i) => margins.singularity[i],
      badness: (i) => -margins.singularity[i],
      limit: singularity,
      unit: '',
      sentence: (value, place) =>
        `The posture is all but singular ${place}: least singular value ${value.toFixed(4)} (at least ${singularity})`,
    }),
  ];
}

function closureFindings({ seam, s }: Along, { posture }: Stand, { arm }: Carrier): Finding[] {
  if (posture.blocked.length > 0) return [];
  const end = s[posture.count - 1];
  const stretch = { seam, from: end, to: end, at: end };
  if (posture.closure === 'other') {
    const sentence = 'The arm ends its round in another posture than it began it in';
    return [createFinding('round-open', { ...stretch, sentence })];
  }
  return Array.from(posture.closureTurns).flatMap((turns, j) => {
    if (turns === 0) return [];
    const count = Math.abs(turns);
    const sentence = `Axis ${arm.axes[j].name} stands ${count} ${count === 1 ? 'turn' : 'turns'} ${turns > 0 ? 'further on' : 'back'} after the round`;
    return [createFinding('axis-winds', { ...stretch, value: turns, limit: 0, sentence })];
  });
}

/** What the way in which postures were found has to say about itself. */
function solverFindings({ seam }: Along, stand: Stand, { head }: JobSeam, { optics }: Job): Finding[] {
  const found: Finding[] = [];
  const { wristOffset, stray } = stand;
  if (!Number.isNaN(wristOffset)) {
    const wrist =
      wristOffset < 1e-3
        ? 'meet in one point'
        : `miss each other by ${wristOffset.toFixed(wristOffset < 1 ? 3 : 1)} mm`;
    const sentence = `The arm is a chain of a model file, its last three axes ${wrist}: postures were found by a numeric solver, which may miss some`;
    found.push(createFinding('arm-numeric', { seam, sentence }));
  }
  const degrees = stray.angle * DEG_PER_RAD;
  if (isOver(stray.distance, THRESHOLDS.stray, 0) || isOver(degrees, THRESHOLDS.strayAngle, 0)) {
    const sentence = `Between waypoints the joint path leads the tool up to ${stray.distance.toFixed(3)} mm and ${degrees.toFixed(3)} deg off its way`;
    found.push(
      createFinding('joint-stray', { seam, value: stray.distance, limit: THRESHOLDS.stray, unit: 'mm', sentence }),
    );
  }
  if (optics.polarisation !== 'none' && typeof head.turn !== 'number' && stand.turn.some((turn) => turn !== 0)) {
    const sentence =
      'The arm turns the head about a polarised beam: the transmitted share is that of the head unturned';
    found.push(createFinding('polarised-turn', { seam, sentence }));
  }
  return found;
}

/** One note for each axis that all but uses up its speed or its acceleration. */
function useFindings({ seam, s }: Along, stand: Stand, timing: Timing, { arm }: Carrier): Finding[] {
  return axisUse(arm, stand.posture, timing).flatMap((use, j) =>
    (
      [
        ['speed', use.speed, use.speedRow],
        ['acceleration', use.acceleration, use.accelerationRow],
      ] as const
    ).flatMap(([what, share, row]) => {
      if (share < THRESHOLDS.axisUse) return [];
      const [value, at] = [share * 100, s[row]];
      const sentence = `Axis ${arm.axes[j].name} uses ${value.toFixed(1)} % of its ${what} at ${at.toFixed(1)} mm`;
      const limit = THRESHOLDS.axisUse * 100;
      return [createFinding('axis-use', { seam, from: at, to: at, at, value, limit, unit: '%', sentence })];
    }),
  );
}

const nearText = ({ owner, envelope, obstacle }: Clearance): string =>
  `${owner === 'head' ? 'Head' : 'Arm'} (${envelope})|${obstacle === 'floor' ? 'the floor' : obstacle}`;

/** "Head (bracket) comes within 3.2 mm of lid (pod.step)", or "runs 2.0 mm into" where envelopes overlap. */
function closeText(clearance: Clearance, distance: number): string {
  const [who, what] = nearText(clearance).split('|');
  return distance > 0
    ? `${who} comes within ${distance.toFixed(1)} mm of ${what}`
    : `${who} runs ${(-distance).toFixed(1)} mm into ${what}`;
}

function roomFindings({ seam, s }: Along, room: Room, { clearance: limit }: Carrier): Finding[] {
  return room.along.flatMap((clearance) =>
    clearance.close.flatMap(({ from, to, row, smallest }) => {
      if (!isUnder(smallest, limit, ACCURACY.length)) return [];
      const code = clearance.owner === 'head' ? 'head-close' : 'arm-close';
      const stretch = { seam, from: s[from], to: s[to], at: s[row], value: smallest, limit, unit: 'mm' };
      const sentence = `${closeText(clearance, smallest)} ${placeText({ from: s[from], to: s[to] }, 0)} (keeps ${limit.toFixed(1)} mm)`;
      return [createFinding(code, { ...stretch, sentence })];
    }),
  );
}

const MOVE_WORDS = {
  'from-home': 'On the way from home',
  approach: 'On the approach',
  retract: 'On the retract',
  'to-home': 'On the way home',
} as const;

/** Share of a move that is done at one of its samples, which are evenly spaced; NaN where there is one sample only. */
export const shareOfMove = ({ angle }: Move, axes: number, sample: number): number =>
  sample / (angle.length / axes - 1);

function travelFindings({ seam }: Along, { travel }: Stand, room: Room, { arm, clearance: limit }: Carrier): Finding[] {
  const placeOn = (name: Move['name'], sample: number): string => {
    const move = travel.moves.find((candidate) => candidate.name === name);
    const share = move === undefined ? Number.NaN : shareOfMove(move, arm.axes.length, sample);
    return Number.isNaN(share) ? '' : ` after ${(100 * share).toFixed(0)} % of the way`;
  };
  const close = room.moves.flatMap(({ name, clearances }) =>
    clearances
      .filter(({ smallest }) => isUnder(smallest, limit, ACCURACY.length))
      .map((clearance) => {
        const { smallest: value, row } = clearance;
        const text = closeText(clearance, value);
        const sentence = `${MOVE_WORDS[name]} ${text.charAt(0).toLowerCase()}${text.slice(1)}${placeOn(name, row)} (keeps ${limit.toFixed(1)} mm)`;
        return createFinding('travel-close', { seam, value, limit, unit: 'mm', sentence });
      }),
  );
  return [...travel.problems.map((problem) => problemFinding(problem, seam, arm)), ...close];
}

function problemFinding({ move, why, axis, excess, at }: TravelProblem, seam: string, arm: Carrier['arm']): Finding {
  const beyond = (what: string) =>
    createFinding('travel-blocked', {
      seam,
      value: excess * DEG_PER_RAD,
      limit: 0,
      unit: 'deg',
      sentence: `${what} axis ${arm.axes[axis].name} ${(excess * DEG_PER_RAD).toFixed(1)} deg beyond its limit`,
    });
  if (why === 'home-limit') return beyond('The home posture puts');
  const place = `${MOVE_WORDS[move]}, ${at.toFixed(0)} mm from the seam,`;
  if (why === 'joint-limit') return beyond(`${place} the straight way takes`);
  const sentence = `${place} the arm has no posture on the straight way`;
  return createFinding('travel-blocked', { seam, sentence });
}
