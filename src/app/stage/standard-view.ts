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

/** Distance at which a sphere just fits a picture of `aspect` (width over height) and vertical field of view `fov`, rad. */
export function fitDistance(radius: number, fov: number, aspect: number): number {
  const vertical = fov / 2;
  const horizontal = Math.atan(Math.tan(vertical) * aspect);
  return radius / Math.sin(Math.min(vertical, horizontal));
}

/** Half height of an orthographic picture that shows the same at `distance` as a perspective one. */
export function halfHeight(distance: number, fov: number): number {
  return distance * Math.tan(fov / 2);
}

/**
 * How far the eye must stand back for a box to fill the picture, and where to look: tighter than its sphere. `forward`, `right`, `up`
 * are unit vectors of the view; the box is given by its extremes.
 */
export function fitBox(
  low: Triple,
  high: Triple,
  axes: { readonly back: Triple; readonly right: Triple; readonly up: Triple },
  fov: number,
  aspect: number,
): { readonly distance: number; readonly half: number } {
  const middle = low.map((value, c) => (value + high[c]) / 2);
  const tall = Math.tan(fov / 2);
  const wide = tall * aspect;
  let distance = 0;
  let half = 0;
  for (let corner = 0; corner < 8; corner++) {
    const from = middle.map((value, c) => (((corner >> c) & 1) === 1 ? high[c] : low[c]) - value);
    const along = (axis: Triple) => from[0] * axis[0] + from[1] * axis[1] + from[2] * axis[2];
    const depth = along(axes.back);
    const x = Math.abs(along(axes.right));
    const y = Math.abs(along(axes.up));
    distance = Math.max(distance, depth + x / wide, depth + y / tall);
    half = Math.max(half, y, x / aspect);
  }
  return { distance, half };
}
