// First and second derivatives of sampled quantities over uneven arc length, by the weights of the polynomial through
// 3 or 5 neighbouring samples (Fornberg 1988, Math. Comp. 51, 699). Stencils go round a closed curve and stop at breaks.

/** How the samples hang together. */
export interface Layout {
  /** Arc length of each sample, n, strictly increasing, mm. */
  readonly s: Float64Array;
  /** Length after which the samples repeat, mm; 0 for an open run. */
  readonly period: number;
  /** 1 at a sample that begins a new section: no stencil reaches across it from either side; n, or null for none. */
  readonly begins: Uint8Array | null;
}

export interface Derivatives {
  /** Per mm and per mm2, same shape as the values. */
  readonly first: Float64Array;
  readonly second: Float64Array;
}

/**
 * Derivatives of `values` (width x n) by arc length. `points` is 3 (second order) or 5 (fourth order inside a section).
 * Near a section's ends the stencil is one-sided; where a section has fewer samples, all of them are taken. A section of
 * one sample has no derivative: NaN. Of two: the slope, and a second derivative of zero. NaN in a sample spreads to its
 * neighbours.
 */
export function differentiate(layout: Layout, values: Float64Array, width: number, points: 3 | 5): Derivatives {
  const { s, period, begins } = layout;
  const n = s.length;
  const result = { first: new Float64Array(values.length), second: new Float64Array(values.length) };
  const weight = new Float64Array(2 * points);
  const place = new Float64Array(points);
  for (const { from, count, ring } of sections(n, period > 0, begins)) {
    const size = Math.min(points, count);
    for (let m = 0; m < count; m++) {
      const i = (from + m) % n;
      const centred = m - (size >> 1);
      const start = ring ? centred : Math.min(Math.max(centred, 0), count - size);
      for (let k = 0; k < size; k++) place[k] = arcAt(s, period, from + start + k) - arcAt(s, period, from + m);
      stencilWeights(place, size, weight);
      for (let c = 0; c < width; c++) {
        let first = size > 1 ? 0 : Number.NaN;
        let second = first;
        for (let k = 0; k < size && size > 1; k++) {
          const value = values[width * modulo(from + start + k, n) + c];
          first += weight[2 * k] * value;
          second += weight[2 * k + 1] * value;
        }
        result.first[width * i + c] = first;
        result.second[width * i + c] = second;
      }
    }
  }
  return result;
}

interface Section {
  readonly from: number;
  readonly count: number;
  /** The section is a whole round without a break. */
  readonly ring: boolean;
}

/** Runs of samples between breaks; on a closed run the last one goes on through the start. */
function sections(n: number, closed: boolean, begins: Uint8Array | null): Section[] {
  const starts: number[] = [];
  for (let i = 0; i < n; i++) if (begins?.[i] || (!closed && i === 0)) starts.push(i);
  if (starts.length === 0) return [{ from: 0, count: n, ring: true }];
  return starts.map((from, k) => {
    const next = k + 1 < starts.length ? starts[k + 1] : closed ? starts[0] + n : n;
    return { from, count: next - from, ring: false };
  });
}

function modulo(i: number, n: number): number {
  return ((i % n) + n) % n;
}

function arcAt(s: Float64Array, period: number, i: number): number {
  return s[modulo(i, s.length)] + period * Math.floor(i / s.length);
}

/**
 * Weights of the first and second derivative at 0 for samples at `place[0 .. size - 1]`, to weight[2 k] and weight[2 k + 1]
 * (Fornberg 1988, the recursion of his section 3 for derivatives up to the second).
 */
function stencilWeights(place: Float64Array, size: number, weight: Float64Array): void {
  const value = new Float64Array(size);
  weight.fill(0);
  value[0] = 1;
  let product = 1;
  for (let m = 1; m < size; m++) {
    let next = 1;
    const x = place[m];
    const previous = place[m - 1];
    for (let k = 0; k < m; k++) {
      const gap = x - place[k];
      next *= gap;
      if (k === m - 1) {
        const f = product / next;
        weight[2 * m + 1] = f * (2 * weight[2 * k] - previous * weight[2 * k + 1]);
        weight[2 * m] = f * (value[k] - previous * weight[2 * k]);
        value[m] = -f * previous * value[k];
      }
      weight[2 * k + 1] = (x * weight[2 * k + 1] - 2 * weight[2 * k]) / gap;
      weight[2 * k] = (x * weight[2 * k] - value[k]) / gap;
      value[k] = (x * value[k]) / gap;
    }
    product = next;
  }
}
