import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { placeLabels } from '../../../src/app/stage/place-labels.ts';

const SEED = 4711;
const box = fc.record({
  x: fc.integer({ min: -20, max: 420 }),
  y: fc.integer({ min: -20, max: 320 }),
  width: fc.integer({ min: 10, max: 120 }),
  height: fc.integer({ min: 10, max: 24 }),
  priority: fc.integer({ min: 0, max: 3 }),
});

describe('labels beside their anchors', () => {
  it(`never cover each other nor an obstacle, and stay inside (seed ${SEED})`, () => {
    const wall = { left: 150, top: 100, right: 190, bottom: 140 };
    fc.assert(
      fc.property(fc.array(box, { maxLength: 24 }), (boxes) => {
        const rooms = placeLabels(boxes, 400, 300, [wall]).flatMap((place, k) =>
          place === null ? [] : [{ ...place, right: place.left + boxes[k].width, bottom: place.top + boxes[k].height }],
        );
        for (const room of rooms) {
          expect(room.left >= 0 && room.top >= 0 && room.right <= 400 && room.bottom <= 300).toBe(true);
        }
        const all = [...rooms, wall];
        all.forEach((a, i) => {
          for (const b of all.slice(i + 1)) {
            expect(a.left >= b.right || b.left >= a.right || a.top >= b.bottom || b.top >= a.bottom).toBe(true);
          }
        });
      }),
      { seed: SEED, numRuns: 200 },
    );
  });

  it('the more important keeps its first place, the other moves, and a third without room goes', () => {
    const same = { x: 60, y: 20, width: 100, height: 20 };
    const [first, second] = placeLabels(
      [
        { ...same, priority: 1 },
        { ...same, priority: 2 },
      ],
      400,
      60,
    );
    expect(second).toEqual({ left: 72, top: 10 });
    expect(first).not.toBeNull();
    expect(first).not.toEqual(second);
    expect(placeLabels([{ x: 5, y: 5, width: 300, height: 20, priority: 1 }], 100, 60)).toEqual([null]);
  });
});
