// A part file becomes bodies: format by content, CAD through the importer, STL through our own reader; every way in which
// a file can be bad ends in one InputError that says what to do.
import type { Task } from '../model/task.ts';
import { InputError } from '../model/input-error.ts';
import type { Body, ImportNote, Part, PartFormat } from '../model/part.ts';
import type { CadFormat, CadImporter, RawBody } from '../model/raw-import.ts';
import { assembleBody, type BuiltBody, buildBody, WELD_TOLERANCE } from './build-body.ts';
import { detectFormat, latin1 } from './detect-format.ts';
import { estimateNoise } from './estimate-noise.ts';
import { growFaces } from './grow-faces.ts';
import { findMeshEdges } from './mesh-edges.ts';
import { readStl, type StlSolid } from './read-stl.ts';
import { weldVertices } from './weld-vertices.ts';

export interface ImportPartSettings {
  /** mm, rad, triangles of the whole file */
  readonly tessellation: { readonly linear: number; readonly angular: number; readonly maxTriangles: number };
  /** Millimetres per unit of an STL file; 0 where the file knows its unit. */
  readonly unitScale: number;
}

/** What an import needs of the place it runs in; the planner's host has it. */
export interface ImportHost {
  readonly importCad: CadImporter;
  sha256(bytes: Uint8Array): Promise<string>;
}

/** Coarsening of one further try under the triangle cap: the sag goes with the square of the angle. */
const COARSER_LINEAR = 4;
const COARSER_ANGULAR = 2;
const TRIES = 4;

/** Parts whose box has a diagonal beyond these, mm, are doubtful in their unit. */
const SMALLEST_PART = 1;
const LARGEST_PART = 10_000;

/**
 * Imports `bytes` of `file` (name as in the job; used for its extension and in messages). Throws InputError `file-empty`,
 * `format-unknown`, `step-unreadable`, `iges-unreadable`, `brep-unreadable`, `stl-unreadable`, `no-mesh`,
 * `too-many-triangles`, `unit-missing`, `unit-unneeded`, and Cancelled.
 */
export async function importPart(
  file: string,
  bytes: Uint8Array,
  settings: ImportPartSettings,
  host: ImportHost,
  task: Task,
): Promise<Part> {
  if (bytes.length === 0) throw new InputError('file-empty', 'the file is empty', file, 'export it again');
  const format = detectFormat(file, bytes);
  if (format === null) throw unknownFormat(file, bytes);
  checkUnit(file, format, settings.unitScale);
  const sha256 = await host.sha256(bytes);
  await task.pause('importing', 0);
  const imported =
    format === 'stl'
      ? await importStl(file, bytes, settings, task)
      : await importCadFile(file, bytes, format, settings, host.importCad, task);
  const notes = [...imported.notes, ...sizeNotes(imported.bodies)];
  await task.pause('importing', 1);
  return { ...imported, file, format, sha256, notes };
}

type Imported = Pick<Part, 'bodies' | 'notes' | 'linearDeflection' | 'angularDeflection'>;

async function importCadFile(
  file: string,
  bytes: Uint8Array,
  format: CadFormat,
  { tessellation }: ImportPartSettings,
  importCad: CadImporter,
  task: Task,
): Promise<Imported> {
  checkComplete(file, bytes, format);
  const notes: ImportNote[] = [];
  let { linear, angular } = tessellation;
  let raw = await tessellate(file, bytes, format, linear, angular, importCad, task);
  for (let attempt = 1; countTriangles(raw) > tessellation.maxTriangles; attempt++) {
    if (attempt === TRIES) {
      const sentence = `even at a deflection of ${linear} mm the file gives ${countTriangles(raw)} triangles, the limit is ${tessellation.maxTriangles}`;
      throw new InputError('too-many-triangles', sentence, file, 'import fewer bodies, or raise the limit');
    }
    linear *= COARSER_LINEAR;
    angular *= COARSER_ANGULAR;
    await task.pause('importing more coarsely', 0);
    raw = await tessellate(file, bytes, format, linear, angular, importCad, task);
  }
  if (linear !== tessellation.linear) {
    const sentence = `The deflection was coarsened from ${tessellation.linear} to ${linear} mm to stay below ${tessellation.maxTriangles} triangles.`;
    notes.push({ code: 'triangle-cap', sentence });
  }
  if (countTriangles(raw) === 0) {
    const sentence =
      'the file holds no shape: it is an assembly whose parts are in other files, or has no solid or surface';
    throw new InputError('no-mesh', sentence, file, 'export the assembly as one file with its parts inside');
  }
  const meshed = raw.filter((body) => body.triangle.length > 0);
  const names = meshed.map((body, i) => (body.name === '' ? `#${i}` : body.name));
  const bodies: Body[] = [];
  for (let i = 0; i < meshed.length; i++) {
    await task.pause('building bodies', i / meshed.length);
    const built = await buildBody(meshed[i], names[i], i, idPrefix(names, i), task);
    bodies.push(built.body);
    notes.push(...built.notes);
  }
  return { bodies, notes, linearDeflection: linear, angularDeflection: angular };
}

async function tessellate(
  file: string,
  bytes: Uint8Array,
  format: CadFormat,
  linear: number,
  angular: number,
  importCad: CadImporter,
  task: Task,
): Promise<readonly RawBody[]> {
  const result = await importCad(bytes, format, { linear, angular }, task.signal);
  task.check();
  if (!result.ok) throw unreadable(format, result.reason, file);
  const sick = result.bodies.find((body) => !body.position.every(Number.isFinite));
  if (sick !== undefined) throw unreadable(format, `body "${sick.name}" has a vertex that is not a number`, file);
  return result.bodies;
}

/** A STEP file without its last line was cut off; the importer would read what is left of it without a word. */
function checkComplete(file: string, bytes: Uint8Array, format: CadFormat): void {
  if (format !== 'step') return;
  if (!latin1(bytes, 0, 4096).includes('ISO-10303-21;')) {
    throw unreadable('step', 'it does not begin with ISO-10303-21', file);
  }
  let end = bytes.length;
  while (end > 0 && (bytes[end - 1] <= 32 || bytes[end - 1] === 0)) end--;
  if (!latin1(bytes, end - 4096, end).includes('END-ISO-10303-21')) {
    throw unreadable('step', 'it ends before its last line END-ISO-10303-21', file);
  }
}

async function importStl(
  file: string,
  bytes: Uint8Array,
  { tessellation, unitScale }: ImportPartSettings,
  task: Task,
): Promise<Imported> {
  const solids = await readStl(file, bytes, tessellation.maxTriangles, task);
  const names = solids.map((solid, i) => (solid.name === '' ? `#${i}` : solid.name));
  const bodies: Body[] = [];
  const notes: ImportNote[] = [];
  for (let i = 0; i < solids.length; i++) {
    const built = await buildStlBody(solids[i], unitScale, names[i], i, idPrefix(names, i), task);
    if (built.body.triangle.length === 0) {
      throw new InputError('no-mesh', `solid ${i} has no triangle with an area`, file, 'export the part again');
    }
    bodies.push(built.body);
    notes.push(...built.notes);
  }
  return { bodies, notes, linearDeflection: Number.NaN, angularDeflection: Number.NaN };
}

async function buildStlBody(
  solid: StlSolid,
  unitScale: number,
  name: string,
  index: number,
  prefix: string,
  task: Task,
): Promise<BuiltBody> {
  const corner = solid.corner.map((value) => value * unitScale);
  const largest = corner.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  // Coordinates are 32-bit floats: half a unit in the last place is 2^-24 of the value.
  const rounding = Math.max(largest * 2 ** -24, 1e-9);
  const { position, index: welded } = await weldVertices(corner, Math.max(WELD_TOLERANCE, 2 * rounding), task);
  const sound: number[] = [];
  for (let c = 0; c < welded.length; c += 3) {
    const [a, b, d] = [welded[c], welded[c + 1], welded[c + 2]];
    if (a !== b && b !== d && d !== a) sound.push(a, b, d);
  }
  const loose = Uint32Array.from(sound);
  const edges = await findMeshEdges(loose, position.length / 3, task);
  const { faceOfTriangle: region, faceCount } = growFaces(position, loose, edges);
  await task.pause('growing faces', 1);
  const order = orderByFace(region, faceCount);
  const triangle = new Uint32Array(loose.length);
  for (let i = 0; i < order.length; i++) triangle.set(loose.subarray(3 * order[i], 3 * order[i] + 3), 3 * i);
  const faceOfTriangle = order.map((t) => region[t]);
  const built = await assembleBody(
    { name, index, idPrefix: prefix, position, triangle, faceOfTriangle, faceCount, noise: rounding },
    task,
  );
  return { ...built, body: { ...built.body, noise: estimateNoise(built.body, rounding) } };
}

/** Triangles ordered by face, and as they were within each: a counting sort. */
function orderByFace(faceOfTriangle: Uint32Array, faceCount: number): Uint32Array {
  const next = new Uint32Array(faceCount + 1);
  for (const face of faceOfTriangle) next[face + 1]++;
  for (let f = 0; f < faceCount; f++) next[f + 1] += next[f];
  const order = new Uint32Array(faceOfTriangle.length);
  faceOfTriangle.forEach((face, t) => {
    order[next[face]++] = t;
  });
  return order;
}

function countTriangles(bodies: readonly RawBody[]): number {
  return bodies.reduce((sum, body) => sum + body.triangle.length / 3, 0);
}

/** Ids begin with the body's name where that says which body is meant. */
function idPrefix(names: readonly string[], i: number): string {
  return names.indexOf(names[i]) === names.lastIndexOf(names[i]) ? names[i] : `#${i}`;
}

function checkUnit(file: string, format: PartFormat, unitScale: number): void {
  if (format === 'stl' && unitScale === 0) {
    throw new InputError(
      'unit-missing',
      'an STL file does not know its unit',
      file,
      'say it: "unit": "mm", "cm", "m" or "in" in a job, --unit on the command line',
    );
  }
  if (format !== 'stl' && unitScale !== 0 && unitScale !== 1) {
    throw new InputError(
      'unit-unneeded',
      `the file is ${format.toUpperCase()} and states its own unit`,
      file,
      'remove "unit"',
    );
  }
}

function sizeNotes(bodies: readonly Body[]): ImportNote[] {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (const { position } of bodies) {
    for (let i = 0; i < position.length; i++) {
      low[i % 3] = Math.min(low[i % 3], position[i]);
      high[i % 3] = Math.max(high[i % 3], position[i]);
    }
  }
  const diagonal = Math.sqrt(low.reduce((sum, value, k) => sum + (high[k] - value) * (high[k] - value), 0));
  if (diagonal >= SMALLEST_PART && diagonal <= LARGEST_PART) return [];
  const sentence = `The box round the part has a diagonal of ${Number(diagonal.toPrecision(3))} mm: its unit is doubtful.`;
  return [{ code: 'size-doubtful', sentence }];
}

function unreadable(format: CadFormat, reason: string, file: string): InputError {
  const hint = 'export it again, as STEP AP214 or AP242, and check that it opens elsewhere';
  return new InputError(
    `${format}-unreadable`,
    `the ${format.toUpperCase()} file cannot be read: ${reason}`,
    file,
    hint,
  );
}

function unknownFormat(file: string, bytes: Uint8Array): InputError {
  const packed = (bytes[0] === 0x50 && bytes[1] === 0x4b) || (bytes[0] === 0x1f && bytes[1] === 0x8b);
  return new InputError(
    'format-unknown',
    packed ? 'the file is a compressed archive' : 'the file is neither STEP, IGES, BREP nor STL',
    file,
    packed ? 'unpack it first' : 'export the part as STEP',
  );
}
