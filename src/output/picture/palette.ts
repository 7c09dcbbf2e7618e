// The look: paper, ink, one accent that stands for light; severity is a shape and a word before it is a colour.
import type { Severity } from '../../model/finding.ts';
import { element } from './svg.ts';

export const COLOUR = {
  paper: '#f6f4ef',
  sheet: '#fffefb',
  ink: '#1d2126',
  quiet: '#5a626c',
  rule: '#dcd7cc',
  light: '#b3361b',
  ochre: '#9a6a00',
  glass: '#5f7f93',
} as const;

/** Tones of an absorbing body, from the side away from the light to the side towards it. */
export const GRAPHITE = [
  '#858b90',
  '#92979b',
  '#9ea3a6',
  '#abaeb0',
  '#b7b9b9',
  '#c2c4c3',
  '#cccdcb',
  '#d6d6d3',
  '#dfdfdb',
  '#e7e6e2',
] as const;

export const SEVERITY_COLOUR: Readonly<Record<Severity, string>> = {
  blocks: COLOUR.light,
  warns: COLOUR.ochre,
  notes: COLOUR.quiet,
};

/** Filled square, filled triangle or ring, 10 px across, centred at x, y. */
export function severityMark(severity: Severity, x: number, y: number): string {
  const fill = SEVERITY_COLOUR[severity];
  if (severity === 'blocks') return element('rect', { x: x - 5, y: y - 5, width: 10, height: 10, fill });
  if (severity === 'warns') {
    const points = `${x},${y - 5.5} ${x + 6},${y + 5} ${x - 6},${y + 5}`;
    return element('polygon', { points, fill });
  }
  return element('circle', { cx: x, cy: y, r: 4.2, fill: COLOUR.sheet, stroke: fill, 'stroke-width': 2 });
}
