// Scenes for seam tests: sample parts from their STEP files, and bodies by hand.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { pointAt } from '../../src/geometry/curve.ts';
import { createBodyQuery } from '../../src/geometry/mesh-body-query.ts';
import type { SceneBody } from '../../src/geometry/scene.ts';
import { buildBody } from '../../src/intake/build-body.ts';
import { importPart } from '../../src/intake/import-part.ts';
import type { Body, Role } from '../../src/model/part.ts';
import type { RawBody } from '../../src/model/raw-import.ts';
import type { Seam } from '../../src/model/seam.ts';
import { buildSeam, type SeamRequest } from '../../src/seam/build-seam.ts';
import { host, quietTask } from '../intake/support.ts';

const DEFAULTS: Omit<SeamRequest, 'select'> = {
  name: 'rim',
  offset: 0,
  startNear: null,
  reverse: false,
  head: { axis: 'joint-normal' },
};

/** A seam in a scene; what is not said stays at its default. */
export function draw(
  scene: readonly SceneBody[],
  request: Partial<SeamRequest> & Pick<SeamRequest, 'select'>,
): Promise<Seam> {
  return buildSeam({ ...DEFAULTS, ...request }, scene, quietTask());
}

export function sceneOf(bodies: readonly Body[], roles: readonly Role[]): SceneBody[] {
  return bodies.map((body, part) => ({
    part,
    name: body.name,
    role: roles[part],
    material: '',
    query: createBodyQuery(body),
  }));
}

/** Scene of a sample part at the default deflection; `roles` by the names of its bodies. */
export async function sampleScene(name: string, roles: Readonly<Record<string, Role>>): Promise<SceneBody[]> {
  const file = `${name}.step`;
  const bytes = new Uint8Array(readFileSync(fileURLToPath(new URL(`../../sample-parts/${file}`, import.meta.url))));
  const tessellation = { linear: 0.01, angular: 0.1, maxTriangles: 2e6 };
  const part = await importPart(file, bytes, { tessellation, unitScale: 0 }, host, quietTask());
  return sceneOf(
    part.bodies,
    part.bodies.map((body) => roles[body.name]),
  );
}

export async function bodyOf(raw: RawBody): Promise<Body> {
  return (await buildBody(raw, raw.name, 0, raw.name, quietTask())).body;
}

/** Position, tangent and curvature vector of a seam at n places, evenly, not at its knots. */
export function sampleSeam(seam: Seam, n: number): { s: number; p: number[]; t: number[]; k: number[] }[] {
  const at = new Float64Array(9);
  return Array.from({ length: n }, (_, i) => {
    const s = ((i + 0.381966) * seam.curve.length) / n;
    pointAt(seam.curve, s, at);
    return { s, p: [...at.subarray(0, 3)], t: [...at.subarray(3, 6)], k: [...at.subarray(6, 9)] };
  });
}

export const norm = (a: readonly number[]): number => Math.hypot(...a);
export const minus = (a: readonly number[], b: readonly number[]): number[] => a.map((x, i) => x - b[i]);

/** Angle between two directions whatever their sense, deg. */
export function lineAngle(a: readonly number[], b: readonly number[]): number {
  const [x, y, z] = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
  const dot = Math.abs(a[0] * b[0] + a[1] * b[1] + a[2] * b[2]);
  return (Math.atan2(Math.hypot(x, y, z), dot) * 180) / Math.PI;
}
