// Each finding of the arm speaks beyond its limit and is silent at it; records are written out directly.
import { describe, expect, it } from 'vitest';
import armsJson from '../../shared/data/arms.json' with { type: 'json' };
import headsJson from '../../shared/data/heads.json' with { type: 'json' };
import { axisUse } from '../../src/checks/axis-use.ts';
import { type CarriedRecords, checkArm } from '../../src/checks/check-arm.ts';
import { checkJob } from '../../src/checks/check-job.ts';
import { RULES } from '../../src/checks/severity.ts';
import type { Arm } from '../../src/model/arm.ts';
import { parseArms } from '../../src/model/arm-file.ts';
import type { Finding } from '../../src/model/finding.ts';
import type { Head } from '../../src/model/head.ts';
import { parseHeads } from '../../src/model/head-file.ts';
import type { Carrier, Job } from '../../src/model/job.ts';
import type { Blocked, Clearance, Stand } from '../../src/model/posture.ts';
import type { Timing } from '../../src/model/timing.ts';
import { timeSeam } from '../../src/motion/time-seam.ts';
import { circlePath, LIMITS, OPTICS, plainAim, SEAM } from '../motion/plain-seam.ts';
import { plainJob } from './plain-job.ts';

const DEG = Math.PI / 180;
const arm = parseArms(armsJson).get('six-axis-900') as Arm;
const head = parseHeads(headsJson).get('angled-head') as Head;
const carrier: Carrier = {
  arm,
  head,
  clearance: 10,
  jointMargin: 5 * DEG,
  singularity: 0.02,
  turnRate: 2 * DEG,
};
const path = circlePath();
const m = path.rows.count;

/** An arm that stands still in its home posture, with all the room there is. */
function quietStand(): Stand {
  const zeros = () => new Float64Array(6 * m);
  const filled = (value: number, size = m) => new Float64Array(size).fill(value);
  return {
    posture: {
      count: m,
      axes: 6,
      turn: new Float64Array(m),
      angle: Float64Array.from({ length: 6 * m }, (_, k) => arm.home[k % 6]),
      angleD1: zeros(),
      angleD2: zeros(),
      between: {
        after: new Uint32Array(0),
        share: new Float64Array(0),
        d1: new Float64Array(0),
        d2: new Float64Array(0),
      },
      blocked: [],
      closure: 'same',
      closureTurns: new Int32Array(6),
    },
    margins: {
      limit: filled(40 * DEG, 6 * m),
      limitShare: filled(0.5),
      limitAxis: new Int8Array(m),
      singularity: filled(0.2),
      manipulability: filled(1e7),
      reach: filled(200),
      umbilical: filled(100 * DEG),
    },
    travel: { moves: [], problems: [] },
    turn: new Float64Array(m),
    spin: null,
    branch: new Int8Array(m),
    stray: { distance: 0, angle: 0 },
    wristOffset: Number.NaN,
  };
}

interface Case {
  stand: Stand;
  along: Clearance[];
  moves: CarriedRecords['room']['moves'];
  job: Job;
}

const timing: Promise<Timing> = timeSeam(path, plainAim(path), SEAM, OPTICS, LIMITS);

async function findingsOf(change: (c: Case) => void): Promise<Finding[]> {
  const c: Case = { stand: quietStand(), along: [], moves: [], job: plainJob({ carrier }) };
  change(c);
  return checkArm(path, { stand: c.stand, room: { along: c.along, moves: c.moves } }, await timing, SEAM, c.job);
}

async function only(change: (c: Case) => void): Promise<Finding> {
  const findings = await findingsOf(change);
  expect(findings).toHaveLength(1);
  expect(findings[0].severity).toBe(RULES[findings[0].code as keyof typeof RULES].severity);
  expect(findings[0].sentence).not.toMatch(/\.$|NaN|undefined|Infinity/);
  return findings[0];
}

const withPosture = (c: Case, change: Partial<Stand['posture']>): void => {
  c.stand = { ...c.stand, posture: { ...c.stand.posture, ...change } };
};

describe('findings of the arm', () => {
  it('has none where all is well, and none without an arm', async () => {
    expect(await findingsOf(() => {})).toEqual([]);
    const job = plainJob();
    expect(checkArm(path, null, await timing, SEAM, job)).toEqual([]);
  });

  const blocked = (change: Partial<Blocked>): Blocked => ({
    firstRow: 20,
    lastRow: 40,
    from: 0,
    to: 10,
    why: 'joint-limit',
    axis: 2,
    excess: 12 * DEG,
    ...change,
  });
  it.each<[string, Partial<Blocked>, RegExp]>([
    ['joint-limit', {}, /Axis A3 .* 12\.0 deg beyond its limit from 0\.0 to 10\.0 mm/],
    ['umbilical', { axis: 5 }, /Axis A6 .* beyond what fibre and hoses/],
    ['out-of-reach', { why: 'out-of-reach', axis: -1, excess: 33.3 }, /does not reach .*33\.3 mm are missing/],
    [
      'out-of-reach',
      { why: 'out-of-reach', axis: -1, excess: Number.NaN },
      /does not reach the seam from 0\.0 to 10\.0 mm$/,
    ],
    ['posture-change', { why: 'no-continuous-branch', axis: -1, excess: 0 }, /no way into them/],
  ])('%s for a stretch of %o', async (code, change, words) => {
    const finding = await only((c) => withPosture(c, { blocked: [blocked(change)] }));
    expect(finding.code).toBe(code);
    expect([finding.from, finding.to]).toEqual([0, 10]);
    expect(finding.sentence).toMatch(words);
  });

  it('joint-margin names the axis that comes nearest, the umbilical too; silent at the limit', async () => {
    const finding = await only((c) => {
      c.stand.margins.limit[6 * 100 + 3] = 4 * DEG;
      c.stand.margins.limit[6 * 101 + 3] = 3 * DEG;
    });
    expect([finding.code, finding.at]).toEqual(['joint-margin', path.rows.s[101]]);
    expect(finding.sentence).toContain('Axis A4 comes within 3.0 deg');
    const winding = await only((c) => {
      c.stand.margins.umbilical[7] = 2 * DEG;
    });
    expect(winding.sentence).toContain('Axis A6 comes within 2.0 deg');
    expect(
      await findingsOf((c) => {
        c.stand.margins.limit[603] = 5 * DEG;
      }),
    ).toEqual([]);
  });

  it('singularity; silent at the limit', async () => {
    const at = (value: number) => (c: Case) => {
      c.stand.margins.singularity[50] = value;
    };
    expect((await only(at(0.0199))).code).toBe('singularity');
    expect(await findingsOf(at(0.02))).toEqual([]);
  });

  it('says by how many turns an axis does not close, and that a posture does not', async () => {
    const turned = await only((c) =>
      withPosture(c, { closure: 'turns', closureTurns: Int32Array.of(0, 0, 0, 0, 0, -1) }),
    );
    expect([turned.code, turned.value]).toEqual(['axis-winds', -1]);
    expect(turned.sentence).toBe('Axis A6 stands 1 turn back after the round');
    expect((await only((c) => withPosture(c, { closure: 'other' }))).code).toBe('round-open');
  });

  const near = (smallest: number, owner: Clearance['owner'] = 'head'): Clearance => ({
    envelope: owner === 'head' ? 'bracket' : 'forearm',
    owner,
    obstacle: owner === 'head' ? 'lid (pod.step)' : 'floor',
    smallest,
    row: 31,
    close: smallest < 10 ? [{ from: 30, to: 34, row: 31, smallest }] : [],
  });
  it.each([
    ['head-close', near(4.2), /^Head \(bracket\) comes within 4\.2 mm of lid \(pod\.step\) from 5\.0 to 7\.0 mm/],
    ['arm-close', near(-3, 'arm'), /^Arm \(forearm\) runs 3\.0 mm into the floor/],
  ])('%s with pair, place and distance', async (code, clearance, words) => {
    const finding = await only((c) => c.along.push(clearance));
    expect(finding.code).toBe(code);
    expect(finding.sentence).toMatch(words);
    expect(await findingsOf((c) => c.along.push(near(10)))).toEqual([]);
  });

  it('travel-close and travel-blocked name the move, and where on it', async () => {
    const close = await only((c) => {
      // The nearest of 125 samples is the 31st after the first.
      const move = { name: 'to-home', angle: new Float64Array(6 * 125), time: 1 } as const;
      c.stand = { ...c.stand, travel: { moves: [move], problems: [] } };
      c.moves = [{ name: 'to-home', clearances: [near(2)] }];
    });
    expect(close.code).toBe('travel-close');
    expect(close.sentence).toBe(
      'On the way home head (bracket) comes within 2.0 mm of lid (pod.step) after 25 % of the way (keeps 10.0 mm)',
    );
    const problem = { move: 'retract', why: 'joint-limit', axis: 4, excess: 3 * DEG, at: 22 } as const;
    const stuck = await only((c) => {
      c.stand = { ...c.stand, travel: { moves: [], problems: [problem] } };
    });
    expect(stuck.sentence).toBe(
      'On the retract, 22 mm from the seam, the straight way takes axis A5 3.0 deg beyond its limit',
    );
    const home = await only((c) => {
      c.stand = { ...c.stand, travel: { moves: [], problems: [{ ...problem, why: 'home-limit', at: Number.NaN }] } };
    });
    expect(home.sentence).toBe('The home posture puts axis A5 3.0 deg beyond its limit');
  });

  it('tells of a numeric solver, of a path that strays, of a polarised beam that is turned', async () => {
    const offset = await only((c) => {
      c.stand = { ...c.stand, wristOffset: 12.34 };
    });
    expect(offset.sentence).toContain('miss each other by 12.3 mm');
    const stray = await only((c) => {
      c.stand = { ...c.stand, stray: { distance: 0.03, angle: 0 } };
    });
    expect(stray.code).toBe('joint-stray');
    const polarised = plainJob({ carrier, optics: { ...OPTICS, polarisation: { angle: 0 } } });
    const turned = await only((c) => {
      c.job = polarised;
      c.stand = { ...c.stand, turn: new Float64Array(m).fill(1) };
    });
    expect(turned.code).toBe('polarised-turn');
  });

  it('payload: too heavy a head, and silent at the limit', () => {
    const heavy = (mass: number) => checkJob(plainJob({ carrier: { ...carrier, head: { ...head, mass } } }), []);
    expect(heavy(arm.payload)).toEqual([]);
    expect(heavy(arm.payload + 0.01).map(({ code }) => code)).toEqual(['payload']);
  });

  it("axis use is q' v over the speed and q' u + q'' v2 over the acceleration, by hand", async () => {
    const { posture } = quietStand();
    const law = await timing;
    posture.angleD1[6 * 100 + 1] = 0.02;
    posture.angleD2[6 * 100 + 1] = 0.001;
    const use = axisUse(arm, posture, law)[1];
    // The plain circle is driven at 50 mm/s without acceleration there.
    expect(law.speed[100]).toBeCloseTo(50, 9);
    expect(use.speed).toBeCloseTo((0.02 * 50) / arm.axes[1].speed, 9);
    expect(use.acceleration).toBeCloseTo((0.001 * 2500) / arm.axes[1].acceleration, 9);
    expect([use.speedRow, use.accelerationRow]).toEqual([100, 100]);
  });
});
