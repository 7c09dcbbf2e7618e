// process-window.svg: over speed and line energy the width that melts, with the borders of the window as lines and the plan
// as a mark on it. Line energies at the joint on the left, the incident ones that trials quote on the right.
import { exp, log } from '../../geometry/elementary.ts';
import type { ProcessWindow } from '../../model/process-window.ts';
import { shownColour } from '../colour-map.ts';
import { FONT_FAMILY, label, spreadApart } from './label.ts';
import { COLOUR } from './palette.ts';
import { type Attributes, element, escapeText, group, line, pathThrough, rect } from './svg.ts';

export const PROCESS_WINDOW_FILE = 'process-window.svg';

const WIDTH = 1040;
const HEIGHT = 560;
const PLOT = { left: 84, right: 640, top: 96, bottom: 490 } as const;
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
      element('defs', {}, [
        element('clipPath', { id: 'plot' }, [element('rect', plot)]),
        hatch('beyond-heat', COLOUR.light, 45),
        hatch('beyond-source', COLOUR.ochre, -45),
      ]),
      rect(0, 0, WIDTH, HEIGHT, { fill: COLOUR.sheet }),
      label(PLOT.left, 34, `Process window, ${title}`, { size: 15, weight: 700 }),
      label(PLOT.left, 56, 'Width of the seam above the weld onset, by speed and line energy', {
        size: 12,
        colour: COLOUR.quiet,
      }),
      group({ 'clip-path': 'url(#plot)' }, [
        drawMap(window, widest, x, y),
        ...drawGrid(x, y),
        ...drawBeyond(window, x, y),
        ...drawBorders(window, x, y),
      ]),
      ...drawAxes(x, y, transmitted),
      ...nameBorders(window, x, y),
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

/** Widths from one step to the next have one colour; this many steps at most. */
const MOST_BANDS = 12;

/** Width between two bands, mm. */
function bandStep(widest: number): number {
  for (let decade = 1e-3; ; decade *= 10) {
    const step = [decade, 2 * decade, 5 * decade].find((candidate) => widest / candidate <= MOST_BANDS);
    if (step !== undefined) return step;
  }
}

const colourOf = (width: number, widest: number): string => `rgb(${shownColour(width / widest).join(',')})`;

/** Every band as all that is at least so wide, the next one on top of it; none where nothing melts. */
function drawMap(window: ProcessWindow, widest: number, x: Scale, y: Scale): string {
  if (!(widest > 0)) return '';
  const step = bandStep(widest);
  const bands: string[] = [];
  for (let low = 0; low < widest; low += step) {
    const border = Array.from(window.speeds, (_, k) => energyOfWidth(window, k, low));
    bands.push(above(border, window, x, y, { fill: colourOf(Math.min(widest, low + step / 2), widest) }));
  }
  return group({}, bands);
}

/** Line energy at which the seam is `width` wide at speed k, beyond the map where none is. The width goes nearly with the root of the logarithm of energy over that at the onset, as for a Gaussian. */
function energyOfWidth({ onset, energies, widths }: ProcessWindow, k: number, width: number): number {
  const m = energies.length;
  if (width <= 0) return onset[k];
  let [from, wide] = [0, 0];
  for (let j = 0; j < m; j++) {
    const here = widths[k * m + j];
    if (!(energies[j] > onset[k])) continue;
    const root = Math.sqrt(log(energies[j] / onset[k]));
    if (here >= width) {
      const at = from + ((root - from) * (width - wide)) / (here - wide);
      return onset[k] * exp(at * at);
    }
    [from, wide] = [root, here];
  }
  return 2 * energies[m - 1];
}

/** All of the plot above a border over the speeds. */
function above(border: ArrayLike<number>, { speeds }: ProcessWindow, x: Scale, y: Scale, style: Attributes): string {
  const points = Array.from(speeds, (v, k) => [x(v), Math.min(PLOT.bottom, Math.max(PLOT.top, y(border[k])))]);
  const closed = [...points, [PLOT.right, PLOT.top], [PLOT.left, PLOT.top]];
  return element('path', { d: pathThrough(closed.flat(), true), ...style });
}

/** What lies beyond a limit, hatched: too hot, or more than the source gives. */
function drawBeyond(window: ProcessWindow, x: Scale, y: Scale): string[] {
  return [
    above(window.most, window, x, y, { fill: 'url(#beyond-source)' }),
    above(window.spoils, window, x, y, { fill: 'url(#beyond-heat)' }),
  ];
}

const hatch = (id: string, stroke: string, degrees: number): string =>
  element(
    'pattern',
    { id, width: 8, height: 8, patternUnits: 'userSpaceOnUse', patternTransform: `rotate(${degrees})` },
    [line(0, 0, 0, 8, { stroke, 'stroke-width': 1.4, 'stroke-opacity': 0.55 })],
  );

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

/** Names at the right end of the borders that end within the plot; those that leave it before are named where they do. */
function nameBorders(window: ProcessWindow, x: Scale, y: Scale): string[] {
  const last = window.speeds.length - 1;
  const shown = bordersOf(window).flatMap((border) => {
    const inside = (k: number) => y(border.values[k]) >= PLOT.top && y(border.values[k]) <= PLOT.bottom;
    const k = [...border.values.keys()].findLast(inside);
    return k === undefined ? [] : [{ ...border, k, end: y(border.values[k]) }];
  });
  const ending = shown.filter(({ k }) => k === last);
  const heights = spreadApart(
    ending.map(({ end }) => end + 4),
    15,
    PLOT.top + 10,
    PLOT.bottom,
  );
  return [
    ...ending.map(({ name, stroke }, m) => label(PLOT.right + 56, heights[m], name, { size: 11, colour: stroke })),
    ...shown
      .filter(({ k }) => k < last)
      .map(({ name, stroke, k, end }) =>
        label(x(window.speeds[k]) + 10, Math.max(PLOT.top + 16, end - 8), name, {
          size: 11,
          colour: stroke,
          halo: true,
        }),
      ),
  ];
}

/** Round values within a scale that spans one or two decades. */
function ticksOf(scale: Scale): number[] {
  return [1e-4, 1e-3, 1e-2, 0.1, 1, 10, 100, 1000]
    .flatMap((p) => [1, 1.5, 2, 3, 4, 5, 7].map((m) => m * p))
    .filter((v) => v >= scale.low && v <= scale.high);
}

function drawGrid(x: Scale, y: Scale): string[] {
  const style = { stroke: COLOUR.ink, 'stroke-width': 0.5, 'stroke-opacity': 0.18 };
  return [
    ...ticksOf(x).map((v) => line(x(v), PLOT.top, x(v), PLOT.bottom, style)),
    ...ticksOf(y).map((e) => line(PLOT.left, y(e), PLOT.right, y(e), style)),
  ];
}

function drawAxes(x: Scale, y: Scale, transmitted: number): string[] {
  const text = (value: number) => String(Number(value.toPrecision(2)));
  const quiet = { size: 11, colour: COLOUR.quiet };
  const incident = logScale(y.low / transmitted, y.high / transmitted, PLOT.bottom, PLOT.top);
  return [
    ...ticksOf(x).map((v) => label(x(v), PLOT.bottom + 18, text(v), { ...quiet, anchor: 'middle' })),
    ...ticksOf(y).map((e) => label(PLOT.left - 8, y(e) + 4, text(e), { ...quiet, anchor: 'end' })),
    ...ticksOf(incident).map((e) => label(PLOT.right + 8, incident(e) + 4, text(e), quiet)),
    rect(PLOT.left, PLOT.top, PLOT.right - PLOT.left, PLOT.bottom - PLOT.top, {
      fill: 'none',
      stroke: COLOUR.quiet,
      'stroke-width': 1,
    }),
    label((PLOT.left + PLOT.right) / 2, PLOT.bottom + 40, 'Speed, mm/s', { size: 12, anchor: 'middle' }),
    label(PLOT.left, PLOT.top - 10, 'J/mm at the joint', { size: 12 }),
    label(PLOT.right, PLOT.top - 10, 'J/mm incident', { size: 12, anchor: 'end' }),
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
  return [
    ...rows.flatMap(([name, value], k) => {
      const at = PLOT.top + 12 + 19 * k;
      return [
        label(WORDS, at, name, { size: 12, colour: COLOUR.quiet }),
        label(WIDTH - 20, at, value, { size: 12, anchor: 'end' }),
        line(WORDS, at + 5, WIDTH - 20, at + 5, { stroke: COLOUR.rule, 'stroke-width': 0.6 }),
      ];
    }),
    ...drawScale(widest),
  ];
}

/** The colours of the bands with the widths between them. */
function drawScale(widest: number): string[] {
  if (!(widest > 0))
    return [label(PLOT.left, HEIGHT - 26, 'Nothing melts anywhere here', { size: 11, colour: COLOUR.quiet })];
  const step = bandStep(widest);
  const bands = Math.ceil(widest / step - 1e-9);
  const [left, size, top] = [WORDS, (WIDTH - 20 - WORDS) / bands, PLOT.bottom - 44];
  const decimals = step < 0.1 ? 2 : 1;
  return [
    label(left, top - 8, 'Width of the seam, mm', { size: 12, weight: 700 }),
    ...Array.from({ length: bands }, (_, k) =>
      rect(left + k * size, top, size + 0.5, 12, { fill: colourOf(Math.min(widest, (k + 0.5) * step), widest) }),
    ),
    ...Array.from({ length: bands + 1 }, (_, k) => k)
      .filter((k) => k % 2 === 0)
      .map((k) =>
        label(left + k * size, top + 28, (k * step).toFixed(decimals), {
          size: 11,
          anchor: k === 0 ? 'start' : 'middle',
          colour: COLOUR.quiet,
        }),
      ),
  ];
}
