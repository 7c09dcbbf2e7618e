// The middle of a chain of points.

/** The point in the middle of the chain by number of points: it lies on the edge, away from its ends. `position` is 3 x n. */
export function middleOf(position: ArrayLike<number>): readonly [number, number, number] {
  const k = 3 * Math.floor(position.length / 6);
  return [position[k], position[k + 1], position[k + 2]];
}
