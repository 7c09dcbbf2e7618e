// What the arm's measurements are taken on: 2,000 rows of a wavy ring, driven once round with run-in and run-out.
import armsJson from '../../shared/data/arms.json' with { type: 'json' };
import headsJson from '../../shared/data/heads.json' with { type: 'json' };
import type { PostureSettings } from '../../src/arm/solve-posture.ts';
import type { Arm } from '../../src/model/arm.ts';
import { parseArms } from '../../src/model/arm-file.ts';
import type { Head } from '../../src/model/head.ts';
import { parseHeads } from '../../src/model/head-file.ts';
import { pathOf, wavyRing } from '../arm/synthetic-path.ts';

export const arm = parseArms(armsJson).get('six-axis-900') as Arm;
export const head = parseHeads(headsJson).get('angled-head') as Head;

const step = (2 * Math.PI) / 1960;
const open = pathOf(wavyRing([520, 0, 200], 78, 12, 0.15), -20 * step, 2 * Math.PI + 19 * step, 2000, {
  from: 20,
  to: 1980,
});
export const path = { ...open, s: open.s.map((s) => s - open.s[20]) };
export const settings: PostureSettings = { turn: 'constant', turns: 72, turnRate: 0.2, speed: 50, standoff: 150 };
