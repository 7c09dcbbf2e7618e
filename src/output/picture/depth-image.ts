// A small raster of a body: which pixels it covers, how near it is there, and how much light its facets get. It decides
// what is hidden and gives the tones; nothing of it is written as pixels.
import { dot, normalise } from '../../geometry/vector.ts';
import type { Body } from '../../model/part.ts';
import type { Box } from './label.ts';
import { projected, type View } from './view.ts';

export interface DepthImage {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  /** Distance towards the eye, mm; -Infinity where nothing is. */
  readonly depth: Float64Array;
  /** 0 where nothing is, else 1 .. `TONES` from dark to light. */
  readonly tone: Uint8Array;
}

export const TONES = 10;
/** Light comes from above and left: shares of right, up and eye. */
const LIGHT = [-0.45, 0.75, 0.48] as const;
const AMBIENT = 0.12;

/** Bodies in one raster of one value a pixel over the box. */
export function depthImage(view: View, bodies: readonly Body[], box: Box): DepthImage {
  const x = Math.floor(box.x);
  const y = Math.floor(box.y);
  const width = Math.ceil(box.x + box.width) - x;
  const height = Math.ceil(box.y + box.height) - y;
  const image: DepthImage = {
    x,
    y,
    width,
    height,
    depth: new Float64Array(width * height).fill(Number.NEGATIVE_INFINITY),
    tone: new Uint8Array(width * height),
  };
  for (const body of bodies) drawBody(image, view, body);
  return image;
}

function drawBody(image: DepthImage, view: View, body: Body): void {
  const p = projected(view, body.position);
  const light = new Float64Array(3);
  for (let k = 0; k < 3; k++) light[k] = LIGHT[0] * view.right[k] + LIGHT[1] * view.up[k] + LIGHT[2] * view.eye[k];
  normalise(light, 0);
  const normal = new Float64Array(3);
  for (let k = 0; k < body.triangle.length; k += 3) {
    const a = 3 * body.triangle[k];
    const b = 3 * body.triangle[k + 1];
    const c = 3 * body.triangle[k + 2];
    facetNormal(body.position, a, b, c, normal);
    const lit = AMBIENT + (1 - AMBIENT) * Math.max(0, dot(normal, 0, light, 0));
    // Both sides are drawn: an open shell must not look like nothing. Closed bodies hide their far side by depth.
    const tone = dot(normal, 0, view.eye, 0) < 0 ? 1 : Math.min(TONES, 1 + Math.floor(lit * TONES));
    drawTriangle(image, p, a, b, c, tone);
  }
}

function facetNormal(p: Float64Array, a: number, b: number, c: number, out: Float64Array): void {
  const ux = p[b] - p[a];
  const uy = p[b + 1] - p[a + 1];
  const uz = p[b + 2] - p[a + 2];
  const vx = p[c] - p[a];
  const vy = p[c + 1] - p[a + 1];
  const vz = p[c + 2] - p[a + 2];
  out[0] = uy * vz - uz * vy;
  out[1] = uz * vx - ux * vz;
  out[2] = ux * vy - uy * vx;
  normalise(out, 0);
}

/** Fills the pixels whose centres lie in the triangle, where it is nearer than what is there. */
function drawTriangle(image: DepthImage, p: Float64Array, a: number, b: number, c: number, tone: number): void {
  const { width, height, depth } = image;
  const ax = p[a] - image.x;
  const ay = p[a + 1] - image.y;
  const bx = p[b] - image.x;
  const by = p[b + 1] - image.y;
  const cx = p[c] - image.x;
  const cy = p[c + 1] - image.y;
  const area = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay);
  if (area === 0) return;
  const left = Math.max(0, Math.ceil(Math.min(ax, bx, cx) - 0.5));
  const right = Math.min(width - 1, Math.floor(Math.max(ax, bx, cx) - 0.5));
  const top = Math.max(0, Math.ceil(Math.min(ay, by, cy) - 0.5));
  const bottom = Math.min(height - 1, Math.floor(Math.max(ay, by, cy) - 0.5));
  for (let j = top; j <= bottom; j++) {
    for (let i = left; i <= right; i++) {
      const x = i + 0.5;
      const y = j + 0.5;
      const wb = ((x - ax) * (cy - ay) - (cx - ax) * (y - ay)) / area;
      const wc = ((bx - ax) * (y - ay) - (x - ax) * (by - ay)) / area;
      if (wb < 0 || wc < 0 || wb + wc > 1) continue;
      const d = p[a + 2] + wb * (p[b + 2] - p[a + 2]) + wc * (p[c + 2] - p[a + 2]);
      const k = j * width + i;
      if (d <= depth[k]) continue;
      depth[k] = d;
      image.tone[k] = tone;
    }
  }
}

/** Whether a point of the picture (px, px, mm towards the eye) is behind the image, by more than `bias` mm, all round. */
export function isHidden(image: DepthImage, x: number, y: number, near: number, bias: number): boolean {
  const i = Math.floor(x) - image.x;
  const j = Math.floor(y) - image.y;
  for (let v = j - 1; v <= j + 1; v++) {
    for (let u = i - 1; u <= i + 1; u++) {
      if (u < 0 || v < 0 || u >= image.width || v >= image.height) return false;
      if (image.depth[v * image.width + u] <= near + bias) return false;
    }
  }
  return true;
}
