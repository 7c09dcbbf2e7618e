// One question asked of every point along a seam, and the findings that answer it: one for each stretch.
import type { Finding } from '../model/finding.ts';
import type { Code } from './severity.ts';
import { RULES } from './severity.ts';
import type { Stretch } from './stretches.ts';
import { findStretches, worstPoint } from './stretches.ts';

/** Points along a seam: stations, or rows. */
export interface Along {
  readonly seam: string;
  /** Arc length, mm, increasing. */
  readonly s: Float64Array;
  /** Length of a closed seam whose points go round once; 0 otherwise. */
  readonly period: number;
}

export interface Question {
  readonly code: Code;
  /** Whether point i is out of order. */
  readonly out: (i: number) => boolean;
  /** Value at a point and its limit, in `unit` as shown; NaN for a limit that is not a number. */
  readonly value: (i: number) => number;
  readonly limit: number;
  readonly unit: string;
  /** What is worst is largest of this; the value where it is left out. */
  readonly badness?: (i: number) => number;
  /** One sentence without a full stop, about the worst point i at a place such as "from 112.0 to 131.5 mm". */
  readonly sentence: (value: number, place: string, i: number) => string;
  readonly remedy?: (i: number, stretch: Stretch) => string;
}

/** One finding for each stretch that is out of order. */
export function ask(along: Along, question: Question): Finding[] {
  return findStretches(along.s, along.period, question.out).map((stretch) => {
    const i = worstPoint(stretch, question.badness ?? question.value);
    const value = question.value(i);
    const at = along.s[i] < stretch.from ? along.s[i] + along.period : along.s[i];
    return createFinding(question.code, {
      seam: along.seam,
      from: stretch.from,
      to: stretch.to,
      at,
      value,
      limit: question.limit,
      unit: question.unit,
      sentence: question.sentence(value, placeText(stretch, along.period), i),
      remedy: question.remedy?.(i, stretch) ?? RULES[question.code].remedy,
    });
  });
}

/** A finding with the severity of its code; what is left out has no stretch, no value, the table's remedy. */
export function createFinding(code: Code, fields: Partial<Finding> & { readonly sentence: string }): Finding {
  const none = Number.NaN;
  const { severity, remedy } = RULES[code];
  return {
    seam: '',
    from: none,
    to: none,
    at: none,
    value: none,
    limit: none,
    unit: '',
    remedy,
    ...fields,
    code,
    severity,
  };
}

/** "from 112.0 to 131.5 mm"; "at 112.0 mm" for a single point; on a closed seam also across its start, or all round. */
export function placeText({ from, to }: Pick<Stretch, 'from' | 'to'>, period: number): string {
  if (from === to) return `at ${from.toFixed(1)} mm`;
  if (period > 0 && to - from >= period) return 'all round';
  if (period > 0 && to > period) return `from ${from.toFixed(1)} mm across the start to ${(to - period).toFixed(1)} mm`;
  return `from ${from.toFixed(1)} to ${to.toFixed(1)} mm`;
}
