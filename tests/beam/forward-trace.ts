// A beam followed downwards from the head, written apart from the code under test: Snell's law by angles in the plane of
// incidence, spheres met by the quadratic formula.
import { dotOf, lengthOf, plus, unit, type Vector } from './analytic-bodies.ts';

/** Direction behind a surface with the unit normal `up` (against the light), from one index into another. */
export function bend(along: Vector, up: Vector, from: number, into: number): Vector {
  const level = plus(along, -dotOf(along, up), up);
  if (lengthOf(level) < 1e-15) return along;
  const refracted = Math.asin((lengthOf(level) * from) / into);
  return plus(plus([0, 0, 0], Math.sin(refracted), unit(level)), -Math.cos(refracted), up);
}

/** A dome: spheres round one centre, of the rib, of the lid's inner and outer face. */
export interface Dome {
  readonly centre: Vector;
  readonly rib: number;
  readonly inner: number;
  readonly outer: number;
  readonly index: number;
}

/** The ray from the head: where it lands on the rib, how long it runs inside the lid, and in the gap. */
export function sendDown(dome: Dome, from: Vector, axis: Vector): { landing: Vector; layer: number; gap: number } {
  const { centre, rib, inner, outer, index } = dome;
  const meet = (start: Vector, along: Vector, radius: number): Vector => {
    const to = plus(start, -1, centre);
    const half = dotOf(to, along);
    return plus(start, -half - Math.sqrt(half * half - dotOf(to, to) + radius * radius), along);
  };
  const up = (at: Vector): Vector => unit(plus(at, -1, centre));
  const entry = meet(from, axis, outer);
  const inside = bend(axis, up(entry), 1, index);
  const exit = meet(entry, inside, inner);
  const below = inner > rib ? bend(inside, up(exit), index, 1) : inside;
  const landing = meet(exit, below, rib);
  return { landing, layer: lengthOf(plus(exit, -1, entry)), gap: lengthOf(plus(landing, -1, exit)) };
}
