// The column beside the drawing: what the ribbon's colours mean, the figures of the plan, its findings in words.
import type { Plan } from '../../planner/plan.ts';
import type { HeatSummary } from '../heat-summary.ts';
import type { Span } from '../span.ts';
import { summarise } from '../summary.ts';
import { type Box, fitText, label, wrapText } from './label.ts';
import type { NumberedFinding } from './numbered-findings.ts';
import { COLOUR, severityMark } from './palette.ts';
import { COLOUR_STEPS, colourStep, type Ribbon, stepColour } from './ribbon.ts';
import { group, line, rect } from './svg.ts';

const BAR = 12;

/** Colour bar with its ends, and the limit as a line on it or as words beside it; px. */
export function drawColourBar(ribbon: Ribbon, x: number, y: number, width: number): string[] {
  const { low, high, limit, decimals, unit } = ribbon;
  const known = high >= low;
  const varies = !known || colourStep(ribbon, low) !== colourStep(ribbon, high);
  const step = width / COLOUR_STEPS;
  const onBar = known && limit >= low && limit <= high && high > low;
  const limitX = x + (width * (limit - low)) / (high - low);
  const limitText = `${ribbon.limitName} ${limit.toFixed(decimals)}`;
  return [
    label(x, y, `Ribbon: ${ribbon.title}`, { size: 13, weight: 700 }),
    label(x + width, y, unit, { size: 12, anchor: 'end', colour: COLOUR.quiet }),
    // One value has one colour: that of the ribbon.
    varies
      ? group(
          {},
          Array.from({ length: COLOUR_STEPS }, (_, k) =>
            rect(x + k * step, y + 10, step + 0.5, BAR, { fill: stepColour(k) }),
          ),
        )
      : rect(x, y + 10, 3 * BAR, BAR, { fill: stepColour(colourStep(ribbon, low)) }),
    ...(onBar ? [line(limitX, y + 6, limitX, y + 14 + BAR, { stroke: COLOUR.light, 'stroke-width': 2 })] : []),
    label(x, y + 38, known ? low.toFixed(decimals) : 'not known', { size: 12 }),
    label(x + width / 2, y + 38, onBar ? limitText : `${limitText}, ${limit > high ? 'above' : 'below'} the scale`, {
      size: 12,
      anchor: 'middle',
      colour: COLOUR.light,
    }),
    ...(known && varies ? [label(x + width, y + 38, high.toFixed(decimals), { size: 12, anchor: 'end' })] : []),
  ];
}

const spanText = (span: Span, decimals: number, scale = 1): string => {
  if (span === null) return 'not known';
  const [a, b] = span.map((value) => (value * scale).toFixed(decimals));
  return a === b ? a : `${a} to ${b}`;
};

/** Figures of each seam in rows; returns where they end, px. */
export function drawFigures(plan: Plan, x: number, y: number, width: number): { content: string[]; bottom: number } {
  const content: string[] = [];
  let at = y;
  for (const seam of summarise(plan).seams) {
    const rows: [string, string, string][] = [
      [seam.closed ? 'Length, closed' : 'Length, open', seam.length_mm.toFixed(2), 'mm'],
      ['Cycle', seam.cycle_s.total.toFixed(2), 's'],
      ['At process speed', (100 * seam.full_speed_share).toFixed(1), '% of weld'],
      ['Layer', spanText(seam.layer_mm, 2), 'mm'],
      ['Gap', spanText(seam.gap_mm, 3), 'mm'],
      ['Transmitted', spanText(seam.transmitted, 1, 100), '%'],
      ['Captured', spanText(seam.capture, 1, 100), '%'],
      ['Clipped', spanText(seam.clipped, 1, 100), '%'],
      ['At the joint', spanText(seam.line_energy_J_mm, 3), 'J/mm'],
      ['Incident', spanText(seam.incident_J_mm, 3), 'J/mm'],
      ...heatRows(seam.heat),
    ];
    content.push(label(x, at, fitText(`Seam ${seam.name}`, 13, width, 700), { size: 13, weight: 700 }));
    for (const [name, value, unit] of rows) {
      at += 19;
      content.push(
        label(x, at, name, { colour: COLOUR.quiet }),
        label(x + width - 78, at, value, { anchor: 'end' }),
        label(x + width - 70, at, unit, { colour: COLOUR.quiet }),
        line(x, at + 5, x + width, at + 5, { stroke: COLOUR.rule, 'stroke-width': 0.6 }),
      );
    }
    at += 28;
  }
  return { content, bottom: at };
}

function heatRows(heat: HeatSummary | null): [string, string, string][] {
  if (heat === null) return [];
  return [
    ['Bond plane', spanText(heat.peak_C, 0), 'degC'],
    ['Hottest below', spanText(heat.hottest_C, 0), 'degC'],
    ['Weld width', spanText(heat.weld_width_mm, 2), 'mm'],
  ];
}

/** Findings in words as far as the box holds them, then how many are left. */
export function drawFindings(findings: readonly NumberedFinding[], box: Box): string[] {
  const content = [label(box.x, box.y + 12, 'Findings', { size: 13, weight: 700 })];
  if (findings.length === 0) return [...content, label(box.x, box.y + 34, 'none', { colour: COLOUR.quiet })];
  let y = box.y + 34;
  const bottom = box.y + box.height;
  for (const [k, { number, finding }] of findings.entries()) {
    const lines = wrapText(finding.sentence, 12, box.width - 40).slice(0, 3);
    const left = findings.length - k;
    const isLast = left === 1;
    if (y + 15 * (lines.length - 1) > bottom - (isLast ? 0 : 20)) {
      content.push(label(box.x, Math.min(y, bottom), `and ${left} more, in plan.json`, { colour: COLOUR.quiet }));
      break;
    }
    content.push(
      severityMark(finding.severity, box.x + 6, y - 4),
      label(box.x + 18, y, String(number), { weight: 700 }),
    );
    for (const text of lines) {
      content.push(label(box.x + 40, y, fitText(text, 12, box.width - 40)));
      y += 15;
    }
    y += 7;
  }
  return content;
}
