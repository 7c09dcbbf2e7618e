// Clamps of the wave pod: a flat frame round the pod carries fingers that press on the lid's flange outside the seam.
// The shadowing clamp has one finger with a lip that leans over the seam and stands in the beam.
import { column, R } from './cad.mjs';
import { alongOutline, draw, offsetOutline, outlineLength } from './outline.mjs';
import { belowLidTop, FLANGE, PLAN, ribHeight, ribNormal } from './wave-pod.mjs';

/** Frame: plan distances from the middle of the rib and heights, mm. */
const FRAME = { inner: 15, outer: 40, from: 18, to: 28 };
/** Plan distance of the bolt holes, mm: outside the fingers' posts. */
const BOLTS = 34;
const FINGERS = 18;
const FINGER_WIDTH = 9;
const FINGER_HEIGHT = 6;
/** Where a finger's tip stands, mm outside the seam in the lid's tangent plane. */
const TIP = 4.3;
/** Outer face of the fingers' posts, mm outside the seam in plan. */
const POST = 26;
/** The lip: its width along the seam, its edge beside the beam's axis (> 0 outside), its heights above the joint, mm. */
const LIP = { width: 28, edge: 0.3, from: 9, to: 14 };

/** A frame with a finger every so often; `lipped` puts one with a lip on the straight side towards -y. */
export function waveClamp({ lipped }) {
  const frame = column(draw(offsetOutline(PLAN, FRAME.outer)), FRAME.from, FRAME.to)
    .cut(column(draw(offsetOutline(PLAN, FRAME.inner)), FRAME.from - 1, FRAME.to + 1))
    .cut(bolts());
  const length = outlineLength(PLAN);
  const places = Array.from({ length: FINGERS }, (_, i) => ((i + 0.5) * length) / FINGERS);
  const lippedPlace = PLAN[0].length + PLAN[1].length / 2;
  const kept = lipped ? places.filter((s) => Math.abs(s - lippedPlace) > (LIP.width + FINGER_WIDTH) / 2 + 2) : places;
  const fingers = kept.map((s) => finger(s, FINGER_WIDTH, plainSection));
  if (lipped) fingers.push(finger(lippedPlace, LIP.width, lippedSection));
  // Fingers keep clear of the flange's edge and stand on its top.
  const lidSpace = belowLidTop(FLANGE + 0.6);
  return fingers.reduce((body, part) => body.fuse(part.cut(lidSpace)), frame);
}

/** Holes for the bolts that hold the frame, one at each corner of the hull and one on either side. */
function bolts() {
  const middle = offsetOutline(PLAN, BOLTS);
  const arcs = middle.map((piece, i) => ({ piece, at: outlineLength(middle.slice(0, i)) + piece.length / 2 }));
  return arcs
    .filter(({ piece }) => piece.center || piece.length > 80)
    .map(({ at }) => alongOutline(middle, at).position)
    .map(([x, y]) => R.makeCylinder(3.3, FRAME.to - FRAME.from + 2, [x, y, FRAME.from - 1]))
    .reduce((all, hole) => all.fuse(hole));
}

/** A bar `width` mm wide along the seam, its section drawn in the upright plane through the seam's outward normal. */
function finger(s, width, section) {
  const { position, outward } = alongOutline(PLAN, s);
  const [x, y] = position;
  const z = ribHeight(x, y);
  const normal = ribNormal(x, y);
  const leanSine = normal[0] * outward[0] + normal[1] * outward[1];
  const size = Math.hypot(leanSine, normal[2]);
  const lean = { sine: leanSine / size, cosine: normal[2] / size };
  const along = [-outward[1], outward[0], 0];
  const origin = [x - (along[0] * width) / 2, y - (along[1] * width) / 2, z];
  const plane = new R.Plane(origin, [...outward, 0], [outward[1], -outward[0], 0]);
  const corners = section(lean, FRAME.to - 1 - z);
  const pen = corners.slice(1).reduce((path, corner) => path.lineTo(corner), R.draw(corners[0]));
  return pen.close().sketchOnPlane(plane).extrude(-width);
}

/** Section points (outward, up) from points (t, n) in the lid's tangent plane and along the joint normal. */
const leaning = ({ sine, cosine }, t, n) => [t * cosine + n * sine, -t * sine + n * cosine];

/** Point of the line at height n above the tangent plane that lies `outward` mm outside the seam in plan. */
const onLine = (lean, outward, n) => leaning(lean, (outward - n * lean.sine) / lean.cosine, n);

function plainSection(lean, foot) {
  return [
    leaning(lean, TIP, 0.5),
    leaning(lean, TIP + 0.6, FINGER_HEIGHT),
    onLine(lean, POST, FINGER_HEIGHT),
    [POST, foot],
    [POST - 8, foot],
    onLine(lean, POST - 8, 0.5),
  ];
}

function lippedSection(lean, foot) {
  return [
    leaning(lean, TIP, 0.5),
    leaning(lean, TIP + 0.6, LIP.from),
    leaning(lean, LIP.edge, LIP.from),
    leaning(lean, LIP.edge, LIP.to),
    onLine(lean, POST, LIP.to),
    [POST, foot],
    [POST - 8, foot],
    onLine(lean, POST - 8, 0.5),
  ];
}
