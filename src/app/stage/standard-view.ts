// From where the standard views look, and how far off a sphere fills the picture. z of the part frame points up.
import type { StandardView } from '../store/state.ts';

export type Triple = readonly [number, number, number];

/** Unit vector from what is looked at to the eye. The corner view stands before, to the left and above, where the light comes from. */
const EYE: Readonly<Record<Exclude<StandardView, 'fit' | 'cursor'>, Triple>> = {
  front: [0, -1, 0],
  back: [0, 1, 0],
  left: [-1, 0, 0],
  right: [1, 0, 0],
  top: [0, 0, 1],
  bottom: [0, 0, -1],
  corner: [-0.5, -0.71, 0.5],
};

/** Direction towards the eye; null for views that keep the one there is. */
export function eyeOf(view: StandardView): Triple | null {
  if (view === 'fit' || view === 'cursor') return null;
  const [x, y, z] = EYE[view];
  const size = Math.hypot(x, y, z);
  // Straight from above or below a trace of y keeps the page's upward direction defined.
  const lean = x === 0 && y === 0 ? -1e-4 : 0;
  return [x / size, y / size + lean, z / size];
}

/** Half height of an orthographic picture that shows the same at `distance` as a perspective one. */
export function halfHeight(distance: number, fov: number): number {
  return distance * Math.tan(fov / 2);
}

export interface ViewAxes {
  /** Unit vectors: towards the eye, and right and up in the picture. */
  readonly back: Triple;
  readonly right: Triple;
  readonly up: Triple;
}

export interface Fit {
  /** What to look at. */
  readonly target: Triple;
  /** How far the perspective eye stands from it, and half the height of the orthographic picture. */
  readonly distance: number;
  readonly half: number;
}

/**
 * Where to look and from how far so that points (lists of 3 x n) just fill a picture of `aspect` (width over height) with the
 * vertical field of view `fov`, rad. Null without points.
 */
export function fitPoints(
  lists: readonly ArrayLike<number>[],
  { back, right, up }: ViewAxes,
  fov: number,
  aspect: number,
): Fit | null {
  const tall = Math.tan(fov / 2);
  const wide = tall * aspect;
  // In a picture from far back along the axes the four sides of the pyramid of sight touch the points: each side is the plane
  // x / wide + z = most (and so on); two opposite ones meet at the eye's distance and place.
  const most = { right: -Infinity, left: -Infinity, up: -Infinity, down: -Infinity };
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (const points of lists) {
    for (let k = 0; k + 2 < points.length; k += 3) {
      const along = (axis: Triple) => points[k] * axis[0] + points[k + 1] * axis[1] + points[k + 2] * axis[2];
      const [x, y, z] = [along(right), along(up), along(back)];
      most.right = Math.max(most.right, x / wide + z);
      most.left = Math.max(most.left, -x / wide + z);
      most.up = Math.max(most.up, y / tall + z);
      most.down = Math.max(most.down, -y / tall + z);
      [x, y, z].forEach((value, c) => {
        low[c] = Math.min(low[c], value);
        high[c] = Math.max(high[c], value);
      });
    }
  }
  if (!(high[0] >= low[0])) return null;
  const eye = Math.max((most.right + most.left) / 2, (most.up + most.down) / 2);
  const x = (wide * (most.right - most.left)) / 2;
  const y = (tall * (most.up - most.down)) / 2;
  const z = (low[2] + high[2]) / 2;
  const target = [0, 1, 2].map((c) => x * right[c] + y * up[c] + z * back[c]) as unknown as Triple;
  const reach = (c: number, middle: number) => Math.max(high[c] - middle, middle - low[c]);
  return { target, distance: eye - z, half: Math.max(reach(1, y), reach(0, x) / aspect) };
}
