// What lies between head and joint: contact, gaps, several walls, clear clamps, nothing, no answer; and the ends of open seams.
import { describe, expect, test } from 'vitest';
import { settleContact } from '../../src/beam/contact.ts';
import { InputError } from '../../src/model/input-error.ts';
import { inScene, meshOnly, noMesh, slab, unsound, type Vector } from './analytic-bodies.ts';
import { aim, aimJob, at, DEG, head, optics, plate, stated, straight } from './known-paths.ts';

const UP: Vector = [0, 0, 1];
const materials = new Map([
  ['lid', plate('lid', 1.565, { value: 0.8, thickness: 2 })],
  ['glass', plate('glass', 1.5)],
]);
const lidAt = (gap: number, thickness = 2) => inScene(0, 'transmissive', slab([0, 0, gap], UP, thickness), 'lid');
const job = aimJob({ materials });
const fresnel = (n: number) => ((n - 1) / (n + 1)) ** 2;

test.each([
  [-0.2, 0],
  [-1e-7, 0],
  [0, 0],
  [1e-7, 0],
  [0.03, 0],
  [0.049, 0],
  [0.0501, 0.0501],
  [0.3, 0.3],
])('a raw gap of %d mm counts as %d', async (raw, reported) => {
  const result = await aim(straight(5), head({ tilt: 0.1 }), [lidAt(raw)], job);
  const slope = Math.cos(result.incidenceEntry[2]);
  // Along the beam: in the layer below the joint and in a hair of contact, else in air.
  const along = raw > 0.01 ? slope : Math.cos(result.incidenceJoint[2]);
  expect(result.rawGap[2]).toBeCloseTo(raw / along, 9);
  expect(result.gap[2]).toBeCloseTo(reported / along, 9);
  expect(result.layer[2]).toBeCloseTo((2 + Math.min(0, raw)) / Math.cos(result.incidenceJoint[2]), 9);
  expect(result.delivered[2] / result.transmitted[2] < 0.999).toBe(reported > 0);
});

test('a layer that reaches far below the joint is contact, with its depth', async () => {
  const result = await aim(straight(3), head(), [lidAt(-0.9)], job);
  expect(result.rawGap[1]).toBeCloseTo(-0.9, 9);
  expect(result.gap[1]).toBe(0);
  expect(result.layer[1]).toBeCloseTo(1.1, 9);
});

test('two walls: both counted, lengths added, four surfaces lost', async () => {
  const second = inScene(1, 'transmissive', slab([0, 0, 12], UP, 1.5), 'lid');
  const one = await aim(straight(3), head(), [lidAt(0)], job);
  const two = await aim(straight(3), head(), [lidAt(0), second], job);
  expect(two.walls[1]).toBe(2);
  expect(two.layer[1]).toBeCloseTo(3.5, 9);
  expect(at(two.entry, 1)[2]).toBeCloseTo(13.5, 9);
  const a = -Math.log(one.transmitted[1] / (1 - fresnel(1.565))) / 2;
  expect(two.transmitted[1]).toBeCloseTo((1 - fresnel(1.565)) ** 3 * Math.exp(-3.5 * a), 9);
});

// Through parallel plates the light goes on in its old direction; each moves the focus by d (1 - 1/n).
test.each([0, 0.001, -0.001, 5])(
  'a clear clamp %d mm above the layer: refracted, its losses counted, no wall',
  async (above) => {
    const clamp = inScene(1, 'clear-clamp', slab([0, 0, 2 + above], UP, 6), 'glass');
    const plain = await aim(straight(3), head({ tilt: 0.2 }), [lidAt(0)], job);
    const result = await aim(straight(3), head({ tilt: 0.2 }), [lidAt(0), clamp], job);
    expect(result.walls[1]).toBe(1);
    expect(result.layer[1]).toBeCloseTo(plain.layer[1], 9);
    expect(result.incidenceEntry[1]).toBeCloseTo(0.2, 9);
    expect(result.incidenceJoint[1]).toBeCloseTo(plain.incidenceJoint[1], 9);
    expect(at(result.entry, 1)[2]).toBeCloseTo(8 + above, 9);
    expect(result.transmitted[1]).toBeLessThan(plain.transmitted[1] * (1 - fresnel(1.5)) ** 2 * 1.001);
    expect(result.transmitted[1]).toBeGreaterThan(plain.transmitted[1] * (1 - fresnel(1.5)) ** 2 * 0.995);
    const straightOn = await aim(straight(3), head(), [lidAt(0), clamp], job);
    expect(straightOn.focusShift[1]).toBeCloseTo(2 * (1 - 1 / 1.565) + 6 * (1 - 1 / 1.5), 3);
  },
);

test('no layer over the joint: the head stands, but no share is claimed', async () => {
  const away = inScene(0, 'transmissive', slab([0, 0, -50], UP, 2), 'lid');
  const result = await aim(straight(3), head(), [away], job);
  expect([result.walls[1], result.layer[1]]).toEqual([0, 0]);
  expect(at(result.tcp, 1)).toEqual([0.5, 0, 0]);
  for (const values of [result.gap, result.rawGap, result.transmitted, result.delivered]) expect(values[1]).toBeNaN();
});

test('nothing at all: the bare joint takes everything', async () => {
  const result = await aim(straight(3), head({ tilt: 0.3 }), [inScene(0, 'absorbing', meshOnly(noMesh))], aimJob());
  expect([result.walls[1], result.layer[1], result.transmitted[1], result.delivered[1], result.gap[1]]).toEqual([
    0, 0, 1, 1, 0,
  ]);
  expect(result.incidenceEntry[1]).toBeCloseTo(0.3, 12);
  expect(result.incidenceJoint[1]).toBeCloseTo(0.3, 12);
  expect(result.focusShift[1]).toBeCloseTo(0, 12);
});

test('a body that gives no answer leaves NaN, and no exception', async () => {
  const result = await aim(
    straight(9),
    head({ axis: 'entry-normal' }),
    [inScene(0, 'transmissive', unsound(), 'lid')],
    job,
  );
  for (const values of [
    result.layer,
    result.gap,
    result.transmitted,
    result.delivered,
    result.clipped,
    result.spotAcross,
  ]) {
    expect(values[1]).toBeNaN();
  }
  expect(at(result.tcp, 1)[0]).toBeNaN();
  expect(result.walls[1]).toBe(0);
  expect(at(result.axis, 1)).toEqual([-0, -0, -1]);
});

test('a transmissive body without a material, or with one that cannot be, is an input error', async () => {
  const nameless = inScene(0, 'transmissive', slab([0, 0, 0], UP, 2));
  await expect(aim(straight(3), head(), [nameless], job)).rejects.toThrow(InputError);
  const impossible = aimJob({ materials: new Map([['lid', plate('lid', 1.565, { value: 0.95, thickness: 2 })]]) });
  await expect(aim(straight(3), head(), [lidAt(0)], impossible)).rejects.toThrow(/transmittance-impossible/);
});

test('off the ends of an open seam the pose of the end goes on, and nothing optical is known', async () => {
  const path = straight(11, 4);
  const result = await aim(path, head({ tilt: 0.1, lead: 0.05 }), [lidAt(0)], job);
  for (const [off, end] of [
    [0, 4],
    [3, 4],
    [15, 14],
    [18, 14],
  ]) {
    expect(at(result.axis, off)).toEqual(at(result.axis, end));
    expect(at(result.tcp, off)[0] - at(result.tcp, end)[0]).toBeCloseTo(path.s[off] - path.s[end], 12);
    expect(Array.from(result.frame.subarray(4 * off, 4 * off + 4))).toEqual(
      Array.from(result.frame.subarray(4 * end, 4 * end + 4)),
    );
    expect(at(result.headD1, off)).toEqual([1, 0, 0]);
    for (const values of [result.layer, result.transmitted, result.clipped, result.capture, result.incidenceEntry])
      expect(values[off]).toBeNaN();
  }
  expect(result.headFactor[8]).toBeCloseTo(1, 9);
});

describe('polarised light', () => {
  // Tilted about x by 60 deg into 1.565; a turn of the tool frame by 90 deg swaps s and p.
  test('turns with the tool frame', async () => {
    const lit = (angle: number) => stated(2, plate('lid', 1.565), { optics: optics({ polarisation: { angle } }) });
    const tilt = 60 * DEG;
    const s = await aim(straight(3), head({ tilt }), [], lit(0));
    const p = await aim(straight(3), head({ tilt }), [], lit(90 * DEG));
    const turned = await aim(straight(3), head({ tilt, turn: 90 * DEG }), [], lit(0));
    const none = await aim(straight(3), head({ tilt }), [], stated(2, plate('lid', 1.565)));
    expect(turned.transmitted[1]).toBeCloseTo(p.transmitted[1], 12);
    expect(none.transmitted[1]).toBeCloseTo((s.transmitted[1] + p.transmitted[1]) / 2, 12);
    expect(p.transmitted[1]).toBeGreaterThan(s.transmitted[1] + 0.15);
  });
});

describe('contact', () => {
  const contact = (closed: boolean, ...raw: number[]) =>
    Array.from(settleContact(Float64Array.from(raw), 0.05, closed));
  test('flicker about the contact distance is one stretch', () => {
    expect(contact(false, 0, 0.049, 0.051, 0.049, 0.0505, 0.045, 0.03, 0.045)).toEqual([
      0, 0.049, 0.051, 0.049, 0.0505, 0.045, 0, 0,
    ]);
  });
  test('a stretch that never exceeds it is contact', () => {
    expect(contact(false, 0.049, 0.0499, 0.05)).toEqual([0, 0, 0]);
  });
  test('round a closed seam, through its start, the same from every start and in both directions', () => {
    const raw = [0.045, 0.03, 0.042, 0.06, 0.041, 0.02, 0.044, 0.046];
    const expected = contact(true, ...raw);
    expect(expected).toEqual([0, 0, 0.042, 0.06, 0.041, 0, 0, 0]);
    for (let shift = 1; shift < raw.length; shift++) {
      const turn = <T>(list: T[]) => [...list.slice(shift), ...list.slice(0, shift)];
      expect(contact(true, ...turn(raw))).toEqual(turn(expected));
      expect(contact(true, ...turn(raw).reverse())).toEqual(turn(expected).reverse());
    }
    expect(contact(true, 0.045, 0.03, 0.045, 0.06)).toEqual([0.045, 0, 0.045, 0.06]);
  });
  test('what is unknown stays unknown', () => {
    expect(contact(false, Number.NaN, 0.06, Number.NaN, 0.045)).toEqual([Number.NaN, 0.06, Number.NaN, 0]);
  });
});

test.each([0, 10, 89])(
  'light from below meets the joint at more than 90 deg (%d deg from straight up)',
  async (deg) => {
    const axis: Vector = [Math.sin(deg * DEG), 0, Math.cos(deg * DEG)];
    const below = await aim(straight(3), head({ axis }), [], aimJob());
    expect(below.incidenceJoint[1]).toBeCloseTo(Math.PI - deg * DEG, 9);
    const above = await aim(straight(3), head({ axis: [axis[0], 0, -axis[2]] }), [], aimJob());
    expect(above.incidenceJoint[1]).toBeCloseTo(deg * DEG, 9);
  },
);
