// process-window.svg: over speed and line energy the width that melts, with the borders of the window as lines and the plan
// as a mark on it. Line energies at the joint on the left, the incident ones that trials quote on the right.
import { log } from '../../geometry/elementary.ts';
import type { ProcessWindow } from '../../model/process-window.ts';
import { shownColour } from '../colour-map.ts';
import { FONT_FAMILY, label, spreadApart } from './label.ts';
import { COLOUR } from './palette.ts';
import { element, escapeText, group, line, pathThrough, rect } from './svg.ts';

export const PROCESS_WINDOW_FILE = 'process-window.svg';

const WIDTH = 1040;
const HEIGHT = 560;
const PLOT = { left: 84, right: 640, top: 76, bottom: 470 } as const;
const WORDS = 820;

interface Border {
  readonly name: string;
  readonly values: Float64Array;
  readonly stroke: string;
  readonly dash: string;
}

/** The picture of one seam's window; `title` names the seam. */
export function processWindowSvg(window: ProcessWindow, title: string): string {
  const { speeds, energies, transmitted } = window;
  const x = logScale(speeds[0], speeds[speeds.length - 1], PLOT.left, PLOT.right);
  const y = logScale(energies[0], energies[energies.length - 1], PLOT.bottom, PLOT.top);
  const widest = window.widths.reduce((most, width) => Math.max(most, width), 0);
  const plot = { x: PLOT.left, y: PLOT.top, width: PLOT.right - PLOT.left, height: PLOT.bottom - PLOT.top };
  return `${element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${WIDTH} ${HEIGHT}`,
      width: WIDTH,
      height: HEIGHT,
      'font-family': FONT_FAMILY,
    },
    [
      element('title', {}, [escapeText(`Process window, ${title}`)]),
      element('defs', {}, [element('clipPath', { id: 'plot' }, [element('rect', plot)])]),
      rect(0, 0, WIDTH, HEIGHT, { fill: COLOUR.sheet }),
      label(PLOT.left, 34, `Process window, ${title}`, { size: 15, weight: 700 }),
      label(PLOT.left, 54, 'Width of the seam above the weld onset, by speed and line energy', {
        size: 12,
        colour: COLOUR.quiet,
      }),
      group({ 'clip-path': 'url(#plot)' }, [drawMap(window, widest, x, y), ...drawBorders(window, x, y)]),
      ...drawAxes(x, y, transmitted),
      ...nameBorders(window, y),
      drawPlan(window, x, y),
      ...drawWords(window, widest),
    ],
  )}\n`;
}

/** Pixels of a value, by its logarithm; `low` and `high` are the ends. */
interface Scale {
  (value: number): number;
  readonly low: number;
  readonly high: number;
}

function logScale(low: number, high: number, from: number, to: number): Scale {
  const at = (value: number) => from + ((to - from) * log(value / low)) / log(high / low);
  return Object.assign(at, { low, high });
}

/** Cells between the middles of neighbouring values, coloured by melted width; none where nothing melts. */
function drawMap({ speeds, energies, widths }: ProcessWindow, widest: number, x: Scale, y: Scale): string {
  const cells: string[] = [];
  const between = (values: Float64Array, k: number) =>
    Math.sqrt(values[Math.max(0, k)] * values[Math.min(values.length - 1, k + 1)]);
  for (let k = 0; k < speeds.length; k++) {
    for (let m = 0; m < energies.length; m++) {
      const width = widths[k * energies.length + m];
      if (!(width > 0)) continue;
      const [left, right] = [x(between(speeds, k - 1)), x(between(speeds, k))];
      const [low, high] = [y(between(energies, m - 1)), y(between(energies, m))];
      const [r, g, b] = shownColour(width / widest);
      cells.push(rect(left, high, right - left + 0.5, low - high + 0.5, { fill: `rgb(${r},${g},${b})` }));
    }
  }
  return group({}, cells);
}

function bordersOf(window: ProcessWindow): Border[] {
  const ink = COLOUR.ink;
  return [
    { name: 'spoils', values: window.spoils, stroke: COLOUR.light, dash: '' },
    ...(window.loses === null ? [] : [{ name: '1 % lost', values: window.loses, stroke: COLOUR.light, dash: '2 4' }]),
    { name: `melts ${window.plan.wanted.toFixed(1)} mm`, values: window.melts, stroke: ink, dash: '' },
    { name: 'begins to melt', values: window.onset, stroke: ink, dash: '6 4' },
    { name: 'source, most', values: window.most, stroke: COLOUR.ochre, dash: '' },
    { name: 'source, least', values: window.least, stroke: COLOUR.ochre, dash: '6 4' },
  ];
}

function drawBorders(window: ProcessWindow, x: Scale, y: Scale): string[] {
  return bordersOf(window).flatMap(({ values, stroke, dash }) => {
    const points = Array.from(values).flatMap((energy, k) => (energy > 0 ? [x(window.speeds[k]), y(energy)] : []));
    const d = pathThrough(points, false);
    if (d === '') return [];
    const under = element('path', { d, fill: 'none', stroke: COLOUR.sheet, 'stroke-width': 4, 'stroke-opacity': 0.7 });
    const own = element('path', {
      d,
      fill: 'none',
      stroke,
      'stroke-width': 2,
      ...(dash === '' ? {} : { 'stroke-dasharray': dash }),
    });
    return [under, own];
  });
}

/** Names at the right end of the borders that end within the plot. */
function nameBorders(window: ProcessWindow, y: Scale): string[] {
  const shown = bordersOf(window).flatMap((border) => {
    const end = y(border.values[border.values.length - 1]);
    return end >= PLOT.top && end <= PLOT.bottom ? [{ ...border, end }] : [];
  });
  const heights = spreadApart(
    shown.map(({ end }) => end + 4),
    15,
    PLOT.top + 10,
    PLOT.bottom,
  );
  return shown.map(({ name, stroke }, k) => label(PLOT.right + 56, heights[k], name, { size: 11, colour: stroke }));
}

function drawAxes(x: Scale, y: Scale, transmitted: number): string[] {
  const ticks = (scale: Scale) =>
    [1, 2, 5]
      .flatMap((m) => [1e-4, 1e-3, 1e-2, 0.1, 1, 10, 100, 1000].map((p) => m * p))
      .filter((v) => v >= scale.low && v <= scale.high);
  const text = (value: number) => String(Number(value.toPrecision(2)));
  const grid = { stroke: COLOUR.rule, 'stroke-width': 0.7 };
  const incident = logScale(y.low / transmitted, y.high / transmitted, PLOT.bottom, PLOT.top);
  return [
    ...ticks(x).flatMap((v) => [
      line(x(v), PLOT.top, x(v), PLOT.bottom, grid),
      label(x(v), PLOT.bottom + 18, text(v), { size: 11, anchor: 'middle', colour: COLOUR.quiet }),
    ]),
    ...ticks(y).flatMap((e) => [
      line(PLOT.left, y(e), PLOT.right, y(e), grid),
      label(PLOT.left - 8, y(e) + 4, text(e), { size: 11, anchor: 'end', colour: COLOUR.quiet }),
    ]),
    ...ticks(incident).map((e) => label(PLOT.right + 8, incident(e) + 4, text(e), { size: 11, colour: COLOUR.quiet })),
    rect(PLOT.left, PLOT.top, PLOT.right - PLOT.left, PLOT.bottom - PLOT.top, {
      fill: 'none',
      stroke: COLOUR.quiet,
      'stroke-width': 1,
    }),
    label((PLOT.left + PLOT.right) / 2, PLOT.bottom + 40, 'speed, mm/s', { size: 12, anchor: 'middle' }),
    label(PLOT.left - 8, PLOT.top - 8, 'J/mm at the joint', { size: 12, anchor: 'start' }),
    label(PLOT.right, PLOT.top - 8, 'J/mm incident', { size: 12, anchor: 'end' }),
  ];
}

function drawPlan({ plan }: ProcessWindow, x: Scale, y: Scale): string {
  const [px, py] = [x(plan.speed), y(plan.lineEnergy)];
  return group({}, [
    element('circle', { cx: px, cy: py, r: 7, fill: 'none', stroke: COLOUR.sheet, 'stroke-width': 5 }),
    element('circle', { cx: px, cy: py, r: 7, fill: 'none', stroke: COLOUR.ink, 'stroke-width': 2.5 }),
    label(px + 12, py - 8, 'plan', { size: 12, weight: 700, halo: true }),
  ]);
}

function drawWords({ plan }: ProcessWindow, widest: number): string[] {
  const percent = (share: number) => (Number.isFinite(share) ? `${(100 * share).toFixed(0)} %` : 'not reached');
  const rows: [string, string][] = [
    ['Speed', `${plan.speed.toFixed(1)} mm/s`],
    ['At the joint', `${plan.lineEnergy.toFixed(3)} J/mm`],
    ['Incident', `${plan.incident.toFixed(3)} J/mm`],
    ['Melted width', `${plan.width.toFixed(2)} mm`],
    ['Peak on the plane', `${plan.peak.toFixed(0)} degC`],
    ['Hottest below', `${plan.hottest.toFixed(0)} degC`],
    ['Above melting', percent(plan.overMelting)],
    ['Below spoiling', percent(plan.underSpoiling)],
    ['Below the source', percent(plan.underPower)],
  ];
  const steps = 24;
  const [left, width, top] = [PLOT.left, 220, HEIGHT - 30];
  return [
    ...rows.flatMap(([name, value], k) => {
      const at = PLOT.bottom - 170 + 19 * k;
      return [
        label(WORDS, at, name, { size: 12, colour: COLOUR.quiet, halo: true }),
        label(WIDTH - 20, at, value, { size: 12, anchor: 'end', halo: true }),
      ];
    }),
    ...Array.from({ length: steps }, (_, k) => {
      const [r, g, b] = shownColour((k + 0.5) / steps);
      return rect(left + (k * width) / steps, top - 10, width / steps + 0.5, 10, { fill: `rgb(${r},${g},${b})` });
    }),
    label(left, top + 14, '0', { size: 11, colour: COLOUR.quiet }),
    label(left + width, top + 14, `${widest.toFixed(2)} mm wide`, { size: 11, anchor: 'end', colour: COLOUR.quiet }),
  ];
}
