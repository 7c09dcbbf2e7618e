// The bodies of the job as a line drawing: graphite tones for what absorbs, clear for what transmits, ochre for tooling;
// edges behind the absorbing bodies are left faint.
import type { Body, Edge, Role } from '../../model/part.ts';
import { RAD_PER_DEG } from '../../model/units.ts';
import { type DepthImage, depthImage, isHidden, TONES } from './depth-image.ts';
import type { Box } from './label.ts';
import { COLOUR, GRAPHITE } from './palette.ts';
import { simplifyLine } from './simplify-line.ts';
import { element, group, pathThrough } from './svg.ts';
import { traceRegion } from './trace-region.ts';
import { projected, type View } from './view.ts';

export interface DrawnBody {
  readonly body: Body;
  readonly role: Role;
}

interface EdgeStyle {
  readonly colour: string;
  readonly width: number;
  /** Opacity where the edge is hidden; 0 leaves it out. */
  readonly hidden: number;
}

const EDGE_STYLE: Readonly<Record<Role, EdgeStyle>> = {
  absorbing: { colour: COLOUR.ink, width: 0.9, hidden: 0.13 },
  transmissive: { colour: COLOUR.glass, width: 0.9, hidden: 0.25 },
  'clear-clamp': { colour: COLOUR.glass, width: 0.9, hidden: 0.25 },
  tooling: { colour: COLOUR.ochre, width: 0.9, hidden: 0.18 },
};

const CLEAR_FILL: Readonly<Record<'glass' | 'tooling', { fill: string; opacity: number }>> = {
  glass: { fill: COLOUR.glass, opacity: 0.1 },
  tooling: { fill: COLOUR.ochre, opacity: 0.06 },
};

/** Edges whose faces meet more smoothly than this are drawn thin, rad. */
const SMOOTH = 5 * RAD_PER_DEG;
/** Edges are cut into pieces of this length to see which are hidden, px. */
const PIECE = 2.5;
/** An edge lies on its own facets: nearer than this it is not behind them, px of depth. */
const BIAS = 1.5;

/** The bodies as SVG, painted from the absorbing one to the tooling. */
export function drawBodies(view: View, bodies: readonly DrawnBody[], box: Box): string[] {
  const of = (...roles: Role[]): DrawnBody[] => bodies.filter(({ role }) => roles.includes(role));
  const absorbing = of('absorbing');
  const front = depthImage(
    view,
    absorbing.map(({ body }) => body),
    box,
  );
  const clear = of('transmissive', 'clear-clamp');
  const tooling = of('tooling');
  return [
    group({}, [...shadedRegions(front), ...drawEdges(view, absorbing, [front])]),
    group({}, drawClear(view, clear, box, 'glass', front)),
    group({}, drawClear(view, tooling, box, 'tooling', front)),
  ];
}

/** Tones painted over one another from dark to light, then the outline. */
function shadedRegions(image: DepthImage): string[] {
  const out: string[] = [];
  for (let level = 1; level <= TONES; level++) {
    const d = traceRegion(image.tone, image.width, image.height, level, image.x, image.y);
    if (d === '') continue;
    const outline = level === 1 ? { stroke: COLOUR.ink, 'stroke-width': 1.1, 'stroke-linejoin': 'round' } : {};
    out.push(element('path', { d, fill: GRAPHITE[level - 1], 'fill-rule': 'evenodd', ...outline }));
  }
  return out;
}

/** Outlines with a faint fill, and edges that what absorbs hides, or the bodies themselves. */
function drawClear(
  view: View,
  bodies: readonly DrawnBody[],
  box: Box,
  kind: 'glass' | 'tooling',
  front: DepthImage,
): string[] {
  const { fill, opacity } = CLEAR_FILL[kind];
  return bodies.flatMap((drawn) => {
    const image = depthImage(view, [drawn.body], box);
    const d = traceRegion(image.tone, image.width, image.height, 1, image.x, image.y);
    if (d === '') return [];
    const look = { fill, 'fill-opacity': opacity, 'fill-rule': 'evenodd', stroke: fill, 'stroke-width': 1 };
    return [element('path', { d, ...look }), ...drawEdges(view, [drawn], [front, image])];
  });
}

function drawEdges(view: View, bodies: readonly DrawnBody[], fronts: readonly DepthImage[]): string[] {
  return bodies.flatMap(({ body, role }) => {
    const style = EDGE_STYLE[role];
    const p = projected(view, body.position);
    const lines = { sharp: '', smooth: '', hidden: '' };
    for (const edge of body.edges) {
      const smooth = edge.faces[1] >= 0 && edge.dihedral[1] < SMOOTH;
      for (const { points, hidden } of splitByView(edgePoints(edge, p), fronts, BIAS / view.scale)) {
        const kind = hidden ? 'hidden' : smooth ? 'smooth' : 'sharp';
        if (!(hidden && smooth)) lines[kind] += pathThrough(simplifyLine(points, 0.25), false);
      }
    }
    const stroke = { fill: 'none', stroke: style.colour, 'stroke-linejoin': 'round', 'stroke-linecap': 'round' };
    return [
      lines.hidden === ''
        ? ''
        : element('path', {
            d: lines.hidden,
            ...stroke,
            'stroke-width': style.width * 0.8,
            'stroke-opacity': style.hidden,
          }),
      lines.smooth === ''
        ? ''
        : element('path', { d: lines.smooth, ...stroke, 'stroke-width': style.width * 0.5, 'stroke-opacity': 0.45 }),
      lines.sharp === '' ? '' : element('path', { d: lines.sharp, ...stroke, 'stroke-width': style.width }),
    ].filter((text) => text !== '');
  });
}

/** Points of an edge in the picture, 3 each, cut into short pieces. */
function edgePoints(edge: Edge, p: Float64Array): number[] {
  const out: number[] = [];
  const count = edge.vertex.length;
  const steps = edge.closed ? count : count - 1;
  for (let k = 0; k < steps; k++) {
    const a = 3 * edge.vertex[k];
    const b = 3 * edge.vertex[(k + 1) % count];
    const pixels = Math.sqrt((p[b] - p[a]) ** 2 + (p[b + 1] - p[a + 1]) ** 2);
    const pieces = Math.max(1, Math.ceil(pixels / PIECE));
    for (let m = 0; m < pieces; m++) {
      for (let c = 0; c < 3; c++) out.push(p[a + c] + (m / pieces) * (p[b + c] - p[a + c]));
    }
  }
  const end = 3 * edge.vertex[edge.closed ? 0 : count - 1];
  out.push(p[end], p[end + 1], p[end + 2]);
  return out;
}

/** Runs of a line (3 numbers a point) that are hidden or not; points x, y, x, y .. */
function splitByView(
  line: readonly number[],
  fronts: readonly DepthImage[],
  bias: number,
): { points: number[]; hidden: boolean }[] {
  const runs: { points: number[]; hidden: boolean }[] = [];
  for (let k = 0; k + 5 < line.length; k += 3) {
    const x = (line[k] + line[k + 3]) / 2;
    const y = (line[k + 1] + line[k + 4]) / 2;
    const near = (line[k + 2] + line[k + 5]) / 2;
    const hidden = fronts.some((front) => isHidden(front, x, y, near, bias));
    const last = runs.at(-1);
    if (last === undefined || last.hidden !== hidden) {
      runs.push({ points: [line[k], line[k + 1], line[k + 3], line[k + 4]], hidden });
    } else last.points.push(line[k + 3], line[k + 4]);
  }
  return runs;
}
