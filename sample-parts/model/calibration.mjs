// Calibration pieces: small bodies whose seams have closed forms (written out in the folder's README), mm.
import { interpolatedLoop, R, ruledRing, turned } from './cad.mjs';

/** Thickness of every lid, mm. */
const LID = 2;
/** Half the width of a rib, mm along its surface. */
const HALF = 1.5;

/** Circle: the rim of a flat disc. */
export const DISC = { radius: 40, top: 6 };

export function disc() {
  const { radius, top } = DISC;
  return { lid: R.makeCylinder(radius + 4, LID, [0, 0, top]), disc: R.makeCylinder(radius, top) };
}

/** Crossing of an upright cylinder with a lying one of larger radius, axes meeting at a right angle. */
export const CROSSING = { lying: 40, upright: 25 };

export function crossingCylinders() {
  // Turned by half, so that the line where the cylinder's surface closes lies underneath, off the joint.
  const lying = (radius) => R.makeCylinder(radius, 120, [-60, 0, 0], [1, 0, 0]).rotate(180, [0, 0, 0], [1, 0, 0]);
  const upright = (radius, from) => R.makeCylinder(radius, 60, [0, 0, from]);
  return {
    lid: upright(CROSSING.upright + 4, 10)
      .intersect(lying(CROSSING.lying + LID))
      .cut(lying(CROSSING.lying)),
    boss: upright(CROSSING.upright, 0).intersect(lying(CROSSING.lying)),
  };
}

/** Saddle rim z = amplitude cos 2 phi on a cylinder; its top is ruled by horizontal radii. */
export const SADDLE = { radius: 40, amplitude: 8, inner: 34, bottom: -20, points: 192 };

export function saddleRim() {
  const { radius, amplitude, inner, bottom, points } = SADDLE;
  const loop = (r, height) => interpolatedLoop((phi) => [r * Math.cos(phi), r * Math.sin(phi), height(phi)], points);
  const wave = (phi) => amplitude * Math.cos(2 * phi);
  const flat = () => bottom;
  // Curves through the same parameters, ruled point to point: the rulings are radial and level.
  return { rim: ruledRing([loop(radius, wave), loop(inner, wave), loop(inner, flat), loop(radius, flat)]) };
}

/** Concentric dome and shell; the seam is the circle of latitude `polar` from the pole, the middle of a rib. */
export const DOME = { radius: 60, polar: (40 * Math.PI) / 180 };

export function domePair() {
  const { radius, polar } = DOME;
  const at = (r, angle) => [r * Math.sin(angle), r * Math.cos(angle)];
  const half = HALF / radius;
  const relief = radius - 2;
  const [innerFoot, outerFoot] = [at(relief, polar - half), at(relief, polar + half)];
  const dome = R.draw([0, innerFoot[1]])
    .lineTo(innerFoot)
    .lineTo(at(radius, polar - half))
    .threePointsArcTo(at(radius, polar + half), at(radius, polar))
    .lineTo(outerFoot)
    .lineTo([outerFoot[0], 8])
    .lineTo([0, 8])
    .close();
  const reach = 8 / radius;
  const lid = R.draw(at(radius, polar - reach))
    .threePointsArcTo(at(radius, polar + reach), at(radius, polar))
    .lineTo(at(radius + LID, polar + reach))
    .threePointsArcTo(at(radius + LID, polar - reach), at(radius + LID, polar))
    .close();
  return { lid: turned(lid), dome: turned(dome) };
}

/** Flat stadium: the middle of a rib along two straights and two half circles. */
export const STADIUM = { radius: 20, straight: 60, top: 8 };

export function stadium() {
  const { radius, straight, top } = STADIUM;
  const prism = (offset, from, to) => {
    const x = straight / 2;
    const r = radius + offset;
    return R.draw([-x, -r])
      .lineTo([x, -r])
      .threePointsArcTo([x, r], [x + r, 0])
      .lineTo([-x, r])
      .threePointsArcTo([-x, -r], [-x - r, 0])
      .close()
      .sketchOnPlane('XY', from)
      .extrude(to - from);
  };
  const rib = prism(HALF, 3, top).cut(prism(-HALF, 2, top + 1));
  return { lid: prism(6, top, top + LID), tray: prism(6, 0, 4).fuse(rib) };
}

/** Ring torus; the seam is its parallel circle at `lean` outward from the top, the middle of a rib. */
export const RING = { major: 50, minor: 20, lean: (30 * Math.PI) / 180 };

export function torusRing() {
  const { major, minor, lean } = RING;
  const at = (r, angle) => [major + r * Math.sin(angle), r * Math.cos(angle)];
  const half = HALF / minor;
  const relief = minor - 2;
  const [innerFoot, outerFoot] = [at(relief, lean - half), at(relief, lean + half)];
  const ring = R.draw(innerFoot)
    .lineTo(at(minor, lean - half))
    .threePointsArcTo(at(minor, lean + half), at(minor, lean))
    .lineTo(outerFoot)
    .lineTo([outerFoot[0] + 4, 0])
    .lineTo([innerFoot[0] - 4, 0])
    .close();
  const reach = 6 / minor;
  const lid = R.draw(at(minor, lean - reach))
    .threePointsArcTo(at(minor, lean + reach), at(minor, lean))
    .lineTo(at(minor + LID, lean + reach))
    .threePointsArcTo(at(minor + LID, lean - reach), at(minor + LID, lean))
    .close();
  return { lid: turned(lid), ring: turned(ring) };
}
