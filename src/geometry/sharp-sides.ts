// Which sides of which triangles are sharp borders of their face (open, or with a neighbour of another face at an angle),
// and which of their corners stand at the end of one.
import type { Body } from '../model/part.ts';

/** Cosine of the angle between two facets' normals below which their common side is sharp: 0.2 rad, twice a usual tessellation's. */
const SHARP = 0.98;

/** One byte a triangle: bit k is set where its side from corner k to corner k + 1 is sharp, bit 3 + k where corner k is. */
export function markSharpSides(body: Body): Uint8Array {
  const { triangle, faceOfTriangle } = body;
  const vertices = body.position.length / 3;
  const sharp = new Uint8Array(triangle.length / 3);
  const waiting = new Map<number, number>();
  const sideOf = (c: number) => {
    const t = 3 * Math.floor(c / 3);
    const a = triangle[c];
    const b = triangle[t + ((c - t + 1) % 3)];
    return a < b ? a * vertices + b : b * vertices + a;
  };
  for (let c = 0; c < triangle.length; c += 1) {
    const key = sideOf(c);
    const other = waiting.get(key);
    if (other === undefined) {
      waiting.set(key, c);
      continue;
    }
    waiting.delete(key);
    const t = Math.floor(c / 3);
    const u = Math.floor(other / 3);
    if (faceOfTriangle[t] === faceOfTriangle[u] || cosine(body, t, u) > SHARP) continue;
    sharp[t] |= 1 << (c % 3);
    sharp[u] |= 1 << (other % 3);
  }
  for (const c of waiting.values()) sharp[Math.floor(c / 3)] |= 1 << (c % 3);
  const end = new Uint8Array(vertices);
  for (let c = 0; c < triangle.length; c += 1) {
    const t = Math.floor(c / 3);
    if ((sharp[t] & (1 << (c % 3))) === 0) continue;
    end[triangle[c]] = 1;
    end[triangle[3 * t + ((c + 1) % 3)]] = 1;
  }
  for (let c = 0; c < triangle.length; c += 1) {
    if (end[triangle[c]] === 1) sharp[Math.floor(c / 3)] |= 8 << (c % 3);
  }
  return sharp;
}

function cosine(body: Body, t: number, u: number): number {
  const a = areaVector(body, t);
  const b = areaVector(body, u);
  const la = a[0] * a[0] + a[1] * a[1] + a[2] * a[2];
  const lb = b[0] * b[0] + b[1] * b[1] + b[2] * b[2];
  return (a[0] * b[0] + a[1] * b[1] + a[2] * b[2]) / Math.sqrt(la * lb);
}

function areaVector(body: Body, t: number): [number, number, number] {
  const p = body.position;
  const a = 3 * body.triangle[3 * t];
  const b = 3 * body.triangle[3 * t + 1];
  const c = 3 * body.triangle[3 * t + 2];
  const u = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
  const v = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
  return [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
}
