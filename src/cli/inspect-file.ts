// `inspect`: what is in a CAD file, in the words that a selection needs.
import { basename, dirname } from 'node:path';
import type { BodyQuery } from '../geometry/body-query.ts';
import { createBodyQuery } from '../geometry/mesh-body-query.ts';
import { type BodyDescription, describePart, type PartDescription } from '../intake/describe-part.ts';
import { importPart } from '../intake/import-part.ts';
import { jobFileSchema } from '../model/job-file.ts';
import { MM_PER_UNIT } from '../model/parse-job.ts';
import type { Body } from '../model/part.ts';
import { RAD_PER_DEG } from '../model/units.ts';
import { fingerprintOfEdge } from '../seam/fingerprint.ts';
import { createNodeHost } from '../worker/node-host.ts';
import { printable } from './printable.ts';
import { createTerminalTask } from './progress-line.ts';
import { EXIT, type Terminal } from './terminal.ts';
import { alignedTable } from './text-table.ts';

export interface InspectOptions {
  readonly file: string;
  /** Unit of an STL file; empty where none is given. */
  readonly unit: keyof typeof MM_PER_UNIT | '';
  readonly json: boolean;
  readonly progress: boolean;
}

/** Imports the file with a job's default deflections and prints what is in it. Returns the exit code. */
export async function inspectFile(options: InspectOptions, terminal: Terminal): Promise<number> {
  const { task, done } = createTerminalTask(terminal, options.progress);
  try {
    const host = createNodeHost(dirname(options.file));
    const name = basename(options.file);
    const { linear_mm, angular_deg, max_triangles } = jobFileSchema.shape.tessellation.parse(undefined);
    const tessellation = { linear: linear_mm, angular: angular_deg * RAD_PER_DEG, maxTriangles: max_triangles };
    const unitScale = options.unit === '' ? 0 : MM_PER_UNIT[options.unit];
    const part = await importPart(name, await host.readFile(name), { tessellation, unitScale }, host, task);
    const query = createQueries();
    const kind = (body: Body, face: number) => query(body).surface(face).kind;
    const fingerprint = (body: Body, edge: number) => fingerprintOfEdge(query(body), edge);
    const description = describePart(part, kind, ...(options.json ? [fingerprint] : []));
    done();
    terminal.out(
      options.json ? `${JSON.stringify(description)}\n` : `${printable(describeInWords(description), true)}\n`,
    );
    return EXIT.done;
  } finally {
    done();
  }
}

/** One query for each body. */
function createQueries(): (body: Body) => BodyQuery {
  const queries = new Map<Body, BodyQuery>();
  return (body) => {
    const query = queries.get(body) ?? createBodyQuery(body);
    queries.set(body, query);
    return query;
  };
}

function describeInWords(part: PartDescription): string {
  const deflection =
    part.linear_mm === null || part.angular_deg === null
      ? ''
      : `, meshed to ${part.linear_mm} mm and ${part.angular_deg.toFixed(2)} deg`;
  return [
    `${part.file}: ${part.format}${deflection}`,
    `sha256 ${part.sha256}`,
    ...part.notes.map((note) => `note  ${note.code}: ${note.sentence}`),
    ...part.bodies.flatMap(bodyLines),
  ].join('\n');
}

function bodyLines(body: BodyDescription): readonly string[] {
  const faces = body.faces.map((face) => [
    String(face.face),
    face.surface,
    String(face.triangles),
    face.area_mm2.toFixed(2),
    pointText(face.near_mm),
  ]);
  const edges = body.edges.map((edge) => [
    edge.id,
    edge.length_mm.toFixed(3),
    edge.closed ? 'closed' : 'open',
    edge.dihedral_deg === null ? 'border' : edge.dihedral_deg.map((angle) => angle.toFixed(1)).join(' to '),
    pointText(edge.near_mm),
  ]);
  return [
    '',
    `body #${body.index} "${body.name}": ${body.triangles} triangles, ` +
      `box ${pointText(body.box_mm.low)} to ${pointText(body.box_mm.high)} mm, ${body.open_edges} open mesh edges`,
    '',
    ...alignedTable(['face', 'surface', 'triangles', 'area mm2', 'near mm'], faces),
    '',
    ...alignedTable(['edge', 'length mm', 'ends', 'dihedral deg', 'near mm'], edges),
  ];
}

function pointText(point: readonly number[]): string {
  return `[${point.map((value) => Number(value.toFixed(4))).join(', ')}]`;
}
