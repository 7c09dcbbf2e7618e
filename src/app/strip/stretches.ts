// Stretches of the strip: where findings hold, and what the head does there.
import type { Finding, Severity } from '../../model/finding.ts';
import { PHASES, type Phase } from '../../model/path.ts';
import type { SeamView } from '../../output/view/plan-view.ts';

export interface Stretch {
  /** Arc length, mm. */
  readonly from: number;
  readonly to: number;
}

type SeamPlace = Pick<SeamView, 'name' | 'closed' | 'length' | 's' | 'phase'>;

/** Arc length where the light goes off. */
export function lastWelded({ s, phase }: SeamPlace): number {
  const row = phase.findLastIndex((index) => PHASES[index] === 'weld' || PHASES[index] === 'overlap');
  return s[row] ?? s[s.length - 1];
}

/** Where a finding holds on the axis; on a closed seam also where the overlap welds the same place again. */
export function findingStretches({ from, to, seam }: Finding, place: SeamPlace): readonly Stretch[] {
  if (seam !== place.name || !Number.isFinite(from)) return [];
  const { s, closed, length } = place;
  const clip = (shift: number, low: number, high: number): Stretch[] => {
    const [a, b] = [Math.max(from + shift, low), Math.min(to + shift, high)];
    return a <= b ? [{ from: a, to: b }] : [];
  };
  const own = clip(0, s[0], s[s.length - 1]);
  if (!closed) return own;
  const end = lastWelded(place);
  return [...clip(-length, 0, end), ...own, ...clip(length, length, end)];
}

export interface PhaseStretch extends Stretch {
  readonly phase: Phase;
}

/** Phases that the seam has, in order. */
export function phaseStretches({ s, phase }: SeamPlace): readonly PhaseStretch[] {
  return PHASES.flatMap((name, index) => {
    const first = phase.indexOf(index);
    if (first < 0) return [];
    const after = Math.min(s.length - 1, phase.lastIndexOf(index) + 1);
    return [{ phase: name, from: s[first], to: s[after] }];
  });
}

export interface FindingBar extends Stretch {
  /** In the plan's list. */
  readonly index: number;
  readonly severity: Severity;
  readonly code: string;
}

/** Bars of all findings of the seam. */
export const findingBars = (findings: readonly Finding[], place: SeamPlace): readonly FindingBar[] =>
  findings.flatMap((finding, index) =>
    findingStretches(finding, place).map(({ from, to }) => ({
      from,
      to,
      index,
      severity: finding.severity,
      code: finding.code,
    })),
  );
