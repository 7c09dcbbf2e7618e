// Closed plan outlines of straight lines and tangent arcs: a convex polygon with rounded corners. An offset of such an
// outline is again one, with every radius changed by the offset, so that ribs, flanges and clamps share one definition.
import { R } from './cad.mjs';

/**
 * Outline of a convex polygon, `corners` counter-clockwise as [x, y, radius], mm. Returns its pieces in order, each a line
 * { from, to } or an arc { center, radius, start, sweep } (rad, counter-clockwise), each with its length.
 */
export function roundedOutline(corners) {
  const count = corners.length;
  const arcs = corners.map(([x, y, radius], i) => {
    const [px, py] = corners[(i + count - 1) % count];
    const [nx, ny] = corners[(i + 1) % count];
    const into = Math.atan2(y - py, x - px);
    const outOf = Math.atan2(ny - y, nx - x);
    const sweep = (outOf - into + 4 * Math.PI) % (2 * Math.PI);
    const cut = radius * Math.tan(sweep / 2);
    const start = into - Math.PI / 2;
    const center = [
      x - cut * Math.cos(into) - radius * Math.cos(start),
      y - cut * Math.sin(into) - radius * Math.sin(start),
    ];
    return { center, radius, start, sweep, length: radius * sweep };
  });
  return arcs.flatMap((arc, i) => {
    const next = arcs[(i + 1) % count];
    const from = onArc(arc, 1);
    const to = onArc(next, 0);
    return [arc, { from, to, length: Math.hypot(to[0] - from[0], to[1] - from[1]) }];
  });
}

/** The same outline moved outward by `distance` mm (inward when negative; every radius must stay positive). */
export function offsetOutline(outline, distance) {
  const moved = outline
    .filter((piece) => piece.center)
    .map((arc) => ({
      ...arc,
      radius: arc.radius + distance,
      length: (arc.radius + distance) * arc.sweep,
    }));
  return moved.flatMap((arc, i) => {
    const from = onArc(arc, 1);
    const to = onArc(moved[(i + 1) % moved.length], 0);
    return [arc, { from, to, length: Math.hypot(to[0] - from[0], to[1] - from[1]) }];
  });
}

export function outlineLength(outline) {
  return outline.reduce((sum, piece) => sum + piece.length, 0);
}

/** Point and outward unit normal at `distance` mm along the outline from its first arc's start. */
export function alongOutline(outline, distance) {
  let rest = distance;
  for (const piece of outline) {
    if (rest <= piece.length) return onPiece(piece, rest / piece.length);
    rest -= piece.length;
  }
  return onPiece(outline[0], 0);
}

/** The outline as a closed drawing that the modeller can extrude. */
export function draw(outline) {
  let pen = R.draw(onArc(outline[0], 0));
  for (const piece of outline) {
    pen = piece.center ? pen.threePointsArcTo(onArc(piece, 1), onArc(piece, 0.5)) : pen.lineTo(piece.to);
  }
  return pen.close();
}

function onPiece(piece, share) {
  if (piece.center) {
    const angle = piece.start + share * piece.sweep;
    return { position: onArc(piece, share), outward: [Math.cos(angle), Math.sin(angle)] };
  }
  const [ax, ay] = piece.from;
  const [bx, by] = piece.to;
  return {
    position: [ax + share * (bx - ax), ay + share * (by - ay)],
    outward: [(by - ay) / piece.length, (ax - bx) / piece.length],
  };
}

function onArc({ center, radius, start, sweep }, share) {
  const angle = start + share * sweep;
  return [center[0] + radius * Math.cos(angle), center[1] + radius * Math.sin(angle)];
}
