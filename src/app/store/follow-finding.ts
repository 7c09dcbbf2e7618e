// A finding that was gone to stays the one it was when a new plan lists its findings anew.
import type { Finding } from '../../model/finding.ts';

/** Place of the same finding in `now`: same code and seam, the closest in place; null where it is gone. */
export function followFinding(
  before: readonly Finding[],
  index: number | null,
  now: readonly Finding[],
): number | null {
  const was = index === null ? undefined : before[index];
  if (was === undefined) return null;
  let best: number | null = null;
  let nearest = Number.POSITIVE_INFINITY;
  now.forEach(({ code, seam, from }, k) => {
    if (code !== was.code || seam !== was.seam) return;
    const far = Number.isFinite(from - was.from) ? Math.abs(from - was.from) : 0;
    if (far < nearest) {
      nearest = far;
      best = k;
    }
  });
  return best;
}
