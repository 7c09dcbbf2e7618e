// seam.svg: one sheet with the part and its seam drawn in space, what colours and marks mean, and the strip over arc length.
import { normalise } from '../../geometry/vector.ts';
import type { Plan } from '../../planner/plan.ts';
import { CAUTION_TEXT } from '../caution.ts';
import { drawColourBar, drawFigures, drawFindings } from './draw-legend.ts';
import { type DrawnBody, drawBodies } from './draw-part.ts';
import { drawSeamLine, drawSeamWords } from './draw-seam.ts';
import { drawStrip } from './draw-strip.ts';
import { HATCHES } from './draw-track.ts';
import { type Box, createPlaces, FONT_FAMILY, fitText, label, textWidth, wrapText } from './label.ts';
import { type NumberedFinding, numberFindings } from './numbered-findings.ts';
import { COLOUR, severityMark } from './palette.ts';
import { chooseRibbon, type Ribbon } from './ribbon.ts';
import { element, escapeText, group, line, rect } from './svg.ts';
import { createView, projected, type View } from './view.ts';

export const SEAM_PICTURE_FILE = 'seam.svg';

const WIDTH = 1600;
const MARGIN = 44;
const RIGHT = WIDTH - MARGIN;
const COLUMN = 400;
const STAGE: Box = { x: MARGIN, y: 104, width: WIDTH - 2 * MARGIN - COLUMN - 36, height: 700 };
/** Room for words round the bodies. */
const AIR = 40;

/** The picture as SVG text. */
export function seamSvg(plan: Plan): string {
  const findings = numberFindings(plan);
  const ribbon = chooseRibbon(plan);
  const columnX = RIGHT - COLUMN;
  const stageBottom = STAGE.y + STAGE.height;
  const figures = drawFigures(plan, columnX, STAGE.y + 84, COLUMN);
  const column = [
    ...drawColourBar(ribbon, columnX, STAGE.y + 14, COLUMN),
    ...figures.content,
    ...drawFindings(findings, {
      x: columnX,
      y: figures.bottom,
      width: COLUMN,
      height: Math.max(60, stageBottom - figures.bottom - 8),
    }),
  ];
  const strips: string[] = [];
  let y = Math.max(stageBottom, figures.bottom + 70) + 18;
  for (const seam of plan.seams) {
    strips.push(line(MARGIN, y, RIGHT, y, { stroke: COLOUR.rule, 'stroke-width': 1 }));
    const strip = drawStrip(seam, plan.job, findings, MARGIN, RIGHT, y + 14);
    strips.push(group({}, strip.content));
    y = strip.bottom + 10;
  }
  const caution = drawCaution(y);
  const height = caution.bottom + 24;
  return `<?xml version="1.0" encoding="UTF-8"?>
${element(
  'svg',
  {
    xmlns: 'http://www.w3.org/2000/svg',
    width: WIDTH,
    height,
    viewBox: `0 0 ${WIDTH} ${Math.ceil(height)}`,
    'font-family': FONT_FAMILY,
    'font-variant-numeric': 'tabular-nums',
  },
  [
    element('title', {}, [escapeText(`${plan.job.title}: the seam`)]),
    element('defs', {}, HATCHES),
    rect(0, 0, WIDTH, height, { fill: COLOUR.paper }),
    ...drawHead(plan, findings),
    rect(STAGE.x, STAGE.y, STAGE.width, STAGE.height, {
      fill: COLOUR.sheet,
      stroke: COLOUR.rule,
      'stroke-width': 1,
      rx: 4,
    }),
    ...drawStage(plan, ribbon, findings),
    ...column,
    ...strips,
    ...caution.content,
  ],
)}
`;
}

function drawHead(plan: Plan, findings: readonly NumberedFinding[]): string[] {
  const count = (severity: string): number => findings.filter((f) => f.finding.severity === severity).length;
  const files = plan.inputs.map(({ file, sha256 }) => `${file} (${sha256.slice(0, 8)})`).join(', ');
  const out: string[] = [];
  let right = RIGHT;
  for (const severity of ['notes', 'warns', 'blocks'] as const) {
    const text = `${severity} ${count(severity)}`;
    out.push(label(right, 60, text, { size: 15, anchor: 'end' }));
    right -= textWidth(text, 15) + 10;
    out.push(severityMark(severity, right, 55));
    right -= 26;
  }
  const title = plan.job.title === '' ? 'Plan' : plan.job.title;
  return [
    label(MARGIN, 60, fitText(title, 20, right - MARGIN - 20, 700), { size: 20, weight: 700 }),
    label(MARGIN, 84, fitText(`raythread ${plan.version}, from ${files}`, 12, WIDTH - 2 * MARGIN), {
      colour: COLOUR.quiet,
    }),
    ...out,
  ];
}

function drawStage(plan: Plan, ribbon: Ribbon, findings: readonly NumberedFinding[]): string[] {
  const bodies: DrawnBody[] = plan.bodies.map(({ part, body }, k) => ({
    body: plan.parts[part].bodies[body],
    role: plan.job.parts[k].role,
  }));
  const room: Box = {
    x: STAGE.x + AIR,
    y: STAGE.y + AIR,
    width: STAGE.width - 2 * AIR,
    height: STAGE.height - 2 * AIR,
  };
  const clouds = [...bodies.map(({ body }) => body.position), ...plan.seams.map(({ path }) => path.position)];
  const view = createView(meanNormal(plan), clouds, room);
  const inside: Box = { x: STAGE.x + 1, y: STAGE.y + 1, width: STAGE.width - 2, height: STAGE.height - 2 };
  const places = createPlaces(inside);
  places.take({ x: STAGE.x, y: STAGE.y + STAGE.height - 100, width: 380, height: 100 });
  return [
    ...drawBodies(view, bodies, inside),
    ...plan.seams.flatMap((seam, k) => drawSeamLine(view, seam, ribbon, k, findings, places)),
    ...plan.seams.flatMap((seam) => drawSeamWords(view, seam, findings, places)),
    ...drawScale(view),
  ];
}

/** Mean of the joint normals, unit; the part's z axis where they cancel. */
function meanNormal(plan: Plan): Float64Array {
  const sum = new Float64Array(3);
  for (const { path } of plan.seams) {
    for (let k = 0; k < path.normal.length; k++) if (Number.isFinite(path.normal[k])) sum[k % 3] += path.normal[k];
  }
  return normalise(sum, 0) > 1e-6 ? sum : Float64Array.of(0, 0, 1);
}

/** The part's axes and a bar of a round length, both true in the plane of the picture. */
function drawScale(view: View): string[] {
  const x = STAGE.x + 46;
  const y = STAGE.y + STAGE.height - 50;
  const tips = projected({ ...view, scale: 26, x, y }, Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1));
  const axes = ['x', 'y', 'z'].flatMap((name, k) => {
    const [tx, ty] = [tips[3 * k], tips[3 * k + 1]];
    const reach = 1 + 11 / Math.max(8, Math.sqrt((tx - x) ** 2 + (ty - y) ** 2));
    return [
      line(x, y, tx, ty, { stroke: COLOUR.ink, 'stroke-width': 1.2 }),
      label(x + reach * (tx - x), y + reach * (ty - y) + 4, name, { size: 11, anchor: 'middle', colour: COLOUR.quiet }),
    ];
  });
  const length = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000].findLast((mm) => mm * view.scale <= 180) ?? 1;
  const barX = x + 60;
  const barEnd = barX + length * view.scale;
  const barY = y + 10;
  return [
    ...axes,
    line(barX, barY, barEnd, barY, { stroke: COLOUR.ink, 'stroke-width': 1.4 }),
    line(barX, barY - 4, barX, barY + 4, { stroke: COLOUR.ink, 'stroke-width': 1.4 }),
    line(barEnd, barY - 4, barEnd, barY + 4, { stroke: COLOUR.ink, 'stroke-width': 1.4 }),
    label(barEnd + 8, barY + 4, `${length} mm`, { size: 11, colour: COLOUR.quiet }),
  ];
}

function drawCaution(y: number): { content: string[]; bottom: number } {
  const lines = wrapText(CAUTION_TEXT, 12, WIDTH - 2 * MARGIN - 90);
  return {
    content: [
      line(MARGIN, y, RIGHT, y, { stroke: COLOUR.rule, 'stroke-width': 1 }),
      label(MARGIN, y + 24, 'Caution', { size: 13, weight: 700, colour: COLOUR.light }),
      ...lines.map((text, k) => label(MARGIN + 90, y + 24 + 16 * k, text)),
    ],
    bottom: y + 24 + 16 * lines.length,
  };
}
