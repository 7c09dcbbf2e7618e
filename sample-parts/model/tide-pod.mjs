// The tide pod: the free-form sister of the wave pod. Its rib's top is one bicubic B-spline through a height function, and
// its lid is that surface's offset; seen from above the rib is a five-cornered shape with round corners.
import { below, column, interpolatedFace, offsetFace } from './cad.mjs';
import { draw, offsetOutline, roundedOutline } from './outline.mjs';

/** Thickness of the lid normal to the rib's top, mm. */
const TIDE_LID = 2;

/** Plan of the rib's middle: x, y, radius of each corner, mm, counter-clockwise. */
export const TIDE_PLAN = roundedOutline([
  [-72, -36, 18],
  [30, -50, 30],
  [80, -12, 16],
  [60, 42, 22],
  [-60, 46, 14],
]);

/** Height of the rib's top, mm; between the grid's points the B-spline follows it to 4e-6 mm. */
export function tideHeight(x, y) {
  return 42 + (x * x) / 800 - (y * y) / 190 + 1.2 * Math.sin(x / 32) * Math.cos(y / 36) + 0.06 * y;
}

const RIB = 3;
const FLANGE = 7.5;
const FLOOR = 3.5;
const GRID = { x: [-100, 104], y: [-72, 68], spacing: 4 };
const around = (distance, from, to) => column(draw(offsetOutline(TIDE_PLAN, distance)), from, to);

export function tidePod() {
  const top = interpolatedFace(tideHeight, GRID);
  const under = below(top);
  const tub = around(RIB / 2, 0, 110)
    .cut(around(-RIB / 2, FLOOR, 111))
    .intersect(under);
  const lid = around(FLANGE, 0, 110)
    .intersect(below(offsetFace(top, TIDE_LID)))
    .cut(under);
  return { lid, tub };
}
