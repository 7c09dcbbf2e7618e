// Findings of two plans: which are gone, which have come. The same code on the same seam counts once for each stretch.
import type { Finding } from '../../model/finding.ts';

const keyOf = ({ code, seam }: Finding): string => `${code} ${seam}`;

export interface GoneAndCome {
  readonly gone: readonly Finding[];
  readonly come: readonly Finding[];
}

/** Stretches that overlap, or findings without one, are taken for the same. */
export function goneAndCome(before: readonly Finding[], now: readonly Finding[]): GoneAndCome {
  return { gone: without(before, now), come: without(now, before) };
}

const GRAVITY = { blocks: 0, warns: 1, notes: 2 } as const;

const without = (list: readonly Finding[], others: readonly Finding[]): readonly Finding[] =>
  list
    .filter((finding) => !others.some((other) => keyOf(other) === keyOf(finding) && meet(finding, other)))
    .toSorted((a, b) => GRAVITY[a.severity] - GRAVITY[b.severity]);

const meet = (a: Finding, b: Finding): boolean =>
  !Number.isFinite(a.from) || !Number.isFinite(b.from) || (a.from <= b.to && b.from <= a.to);
