// Round times along the seam, each where the spot is then.

export interface TimeTick {
  /** Arc length, mm. */
  readonly s: number;
  readonly text: string;
}

/** About `most` ticks at most; none where the time is not known. */
export function timeTicks(s: ArrayLike<number>, time: ArrayLike<number>, most: number): readonly TimeTick[] {
  const last = s.length - 1;
  const total = time[last];
  if (!Number.isFinite(total) || total <= 0) return [];
  const step = roundStep(total / Math.max(1, most));
  const ticks: TimeTick[] = [];
  let row = 0;
  for (let k = 0; k * step <= total; k++) {
    const at = k * step;
    while (row < last - 1 && time[row + 1] < at) row++;
    const span = time[row + 1] - time[row];
    const share = span > 0 ? Math.min(1, Math.max(0, (at - time[row]) / span)) : 0;
    ticks.push({ s: s[row] + share * (s[row + 1] - s[row]), text: at.toFixed(step < 1 ? 1 : 0) });
  }
  return ticks;
}

/** The smallest of 0.1, 0.2, 0.5, 1, 2, 5 .. that is not below. */
export function roundStep(least: number): number {
  for (let decade = 0.1; ; decade *= 10) {
    const step = [1, 2, 5].map((m) => Number((m * decade).toPrecision(3))).find((candidate) => candidate >= least);
    if (step !== undefined) return step;
  }
}
