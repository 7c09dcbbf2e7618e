// The wave pod: an absorbing tub with a joint rib whose top is a piece of a torus, and a transmissive lid that lies on it.
// Seen from above the rib follows a hull: a square stern, straight sides, a blunt bow.
import { belowTorus, column, R } from './cad.mjs';
import { draw, offsetOutline, roundedOutline } from './outline.mjs';

/** Torus of the rib's top: axis along y at this height, mm; the pod lies on the torus's inner side, a saddle. */
const TORUS = { z: 310, major: 330, minor: 80 };
/** Thickness of the lid normal to the rib's top, mm. */
const LID = 2;
/** Width of the rib in plan, mm. */
const RIB = 3;
/** How far the lid's flange reaches outward from the middle of the rib, mm in plan: the clamp presses on it. */
export const FLANGE = 7.5;

/** Plan of the rib's middle: x, y, radius of each corner, mm, counter-clockwise. */
export const PLAN = roundedOutline([
  [-78, -44, 12],
  [38, -44, 45],
  [88, -16, 14],
  [88, 16, 14],
  [38, 44, 45],
  [-78, 44, 12],
]);

const FLOOR = 4;
const TOP = 120;
/** Flat roof of the lid: its height, and the plan distance from the rib's middle at which its side wall stands, mm. */
const ROOF = 63;
const SIDE = -8;
const around = (distance, from, to) => column(draw(offsetOutline(PLAN, distance)), from, to);
/** Everything below the surface that lies `lift` mm above the rib's top. */
const underTop = (lift) => belowTorus(TORUS.z, TORUS.major, TORUS.minor + lift);

/** Height of the rib's top over the plan (`lift` mm above it, measured normal to it), mm, closed form. */
export function ribHeight(x, y, lift = 0) {
  const tube = Math.sqrt((TORUS.minor + lift) ** 2 - y * y);
  return TORUS.z - Math.sqrt((TORUS.major - tube) ** 2 - x * x);
}

/** Outward unit normal of the rib's top. */
export function ribNormal(x, y) {
  const z = ribHeight(x, y);
  const far = Math.hypot(x, z - TORUS.z);
  const circle = [(TORUS.major * x) / far, 0, TORUS.z + (TORUS.major * (z - TORUS.z)) / far];
  return [(x - circle[0]) / TORUS.minor, y / TORUS.minor, (z - circle[2]) / TORUS.minor];
}

/** Everything that lies below the lid's top, out to `reach` mm from the middle of the rib in plan. */
export function belowLidTop(reach) {
  return around(reach, 0, TOP).intersect(underTop(LID));
}

export function wavePod() {
  return { lid: lid(), tub: tub() };
}

function tub() {
  const wall = around(RIB / 2, 0, TOP)
    .cut(around(-RIB / 2, FLOOR, TOP + 1))
    .intersect(underTop(0));
  const post = (x, y) => R.makeCylinder(4, 22, [x, y, FLOOR - 1]).cut(R.makeCylinder(1.5, 16, [x, y, FLOOR + 8]));
  const gland = R.makeCylinder(7, 8, [-78, 0, 18], [-1, 0, 0]);
  const bore = R.makeCylinder(4, 20, [-92, 0, 18], [1, 0, 0]);
  const posts = [post(-62, -28), post(-62, 28), post(62, 0)];
  return [...posts, gland].reduce((body, part) => body.fuse(part), wall).cut(bore);
}

/** A flange that lies on the rib, a ledge that finds its place inside it, a side wall and a flat roof. */
function lid() {
  const hollow = around(FLANGE + 1, -1, TOP)
    .cut(around(SIDE, -2, TOP + 1))
    .fuse(around(SIDE, -1, ROOF - LID))
    .intersect(underTop(0))
    .fuse(around(SIDE - LID, -1, ROOF - LID));
  const shell = belowLidTop(FLANGE)
    .cut(around(SIDE - LID, -1, TOP + 1))
    .fuse(around(SIDE, 0, ROOF))
    .cut(hollow);
  const ledge = around(-RIB / 2 - 0.5, 0, TOP)
    .cut(around(-RIB / 2 - 2.3, -1, TOP + 1))
    .intersect(underTop(LID / 2))
    .cut(underTop(-3));
  const cap = R.makeCylinder(16, 6, [-18, 0, ROOF - 1]);
  return shell.fuse(ledge).fuse(cap);
}
