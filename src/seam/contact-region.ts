// Regions of a body's faces that touch another body, with their borders in chains: marching triangles (the plane case of
// Lorensen & Cline 1987) over the split facets. What two facets share cancels; what remains is border, region on its left.
import type { Task } from '../model/task.ts';
import { type ContactMesh, facetArea, sideKey } from './contact-mesh.ts';
import type { Touches } from './contact-touch.ts';

/** Corners on the border of a face are asked this far inside it, mm: on the border itself a ray has nothing to hit. */
const INSIDE = 0.03;

/** Halvings of a side between a corner that touches and one that does not: to a nanometre. */
const HALVINGS = 20;

/** Regions smaller than this, mm2, and borders shorter than this, mm (holes as well), are specks. */
const SPECK_AREA = 1;
const SPECK_BORDER = 4;

/** Corners asked between two looks at the clock. */
const BATCH = 16;

/** One step of a border. */
export interface BorderStep {
  /** Indices into `ContactRegion.position`. */
  readonly from: number;
  readonly to: number;
  /** Edge of the body that it runs along, -1 where it runs through a face. */
  readonly edge: number;
  readonly face: number;
}

export interface ContactRegion {
  /** 3 x n, mm. */
  readonly position: readonly number[];
  /** Closed chains with the region on their left, the longest first. */
  readonly borders: readonly (readonly BorderStep[])[];
  /** mm2, by facets. */
  readonly area: number;
  /** A place inside, mm, and all corners of its facets, indices into `position`. */
  readonly inside: readonly [number, number, number];
  readonly corners: readonly number[];
}

/** Regions without specks, the largest first. */
export async function findContactRegions(mesh: ContactMesh, touches: Touches, task: Task): Promise<ContactRegion[]> {
  const position = [...mesh.position];
  const corners = await askCorners(mesh, touches, task);
  const root = createUnion();
  const steps = new Map<number, BorderStep>();
  const facets: { readonly polygon: readonly number[]; readonly area: number; readonly corner: number }[] = [];
  const cuts = new Map<number, number>();
  const cutSide = (a: number, b: number, face: number): number => {
    const key = sideKey(a, b);
    const known = cuts.get(key);
    if (known !== undefined) return known;
    const at = halve(corners.probe(a, face), corners.probe(b, face), (x, y, z) => touches(face, x, y, z));
    const made = position.length / 3;
    position.push(...at);
    cuts.set(key, made);
    return made;
  };
  const add = (step: BorderStep): void => {
    const back = step.to * 2 ** 26 + step.from;
    if (!steps.delete(back)) steps.set(step.from * 2 ** 26 + step.to, step);
    root.join(step.from, step.to);
  };
  for (let t = 0; t < mesh.face.length; t++) {
    if (t % BATCH === 0) await task.pause('chaining the border of the contact', 0.5 + t / mesh.face.length / 2);
    const face = mesh.face[t];
    const corner = [0, 1, 2].map((k) => mesh.corner[3 * t + k]);
    const inside = corner.map((v) => corners.touches(v, face));
    if (!inside.includes(true)) continue;
    let leaves = -1;
    let enters = -1;
    const polygon: number[] = [];
    for (let k = 0; k < 3; k++) {
      const [v, w] = [corner[k], corner[(k + 1) % 3]];
      const [here, there] = [inside[k], inside[(k + 1) % 3]];
      if (here) polygon.push(v);
      if (!here && !there) continue;
      const cut = here === there ? -1 : cutSide(v, w, face);
      if (cut >= 0) polygon.push(cut);
      if (here && !there) leaves = cut;
      if (!here && there) enters = cut;
      add({ from: here ? v : cut, to: there ? w : cut, edge: mesh.edgeOf(v, w), face });
    }
    if (leaves >= 0) add({ from: leaves, to: enters, edge: -1, face });
    let area = 0;
    for (let k = 2; k < polygon.length; k++) area += facetArea(position, polygon[0], polygon[k - 1], polygon[k]);
    facets.push({ polygon, area, corner: inside.every((x) => x) ? t : -1 });
  }
  const chains = chainSteps([...steps.values()]);
  const regions = new Map<
    number,
    { area: number; largest: number; at: readonly [number, number, number]; corners: number[] }
  >();
  for (const { polygon, area, corner } of facets) {
    const key = root.of(polygon[0]);
    const region = regions.get(key) ?? { area: 0, largest: 0, at: place(position, polygon[0]), corners: [] };
    regions.set(key, region);
    region.area += area;
    region.corners.push(...polygon);
    if (corner < 0 || area <= region.largest) continue;
    region.largest = area;
    region.at = middle(position, mesh.corner, 3 * corner);
  }
  return [...regions]
    .map(([key, { area, at, corners: within }]): ContactRegion => {
      const borders = chains
        .filter((chain) => root.of(chain[0].from) === key)
        .map((chain) => ({ chain, length: lengthOf(position, chain) }))
        .filter(({ length }) => length >= SPECK_BORDER)
        .sort((a, b) => b.length - a.length)
        .map(({ chain }) => chain);
      return { position, borders, area, inside: at, corners: within };
    })
    .filter(({ area, borders }) => area >= SPECK_AREA && borders.length > 0)
    .sort((a, b) => b.area - a.area);
}

interface Corners {
  touches(corner: number, face: number): boolean;
  /** Where the corner of a face is asked. */
  probe(corner: number, face: number): readonly number[];
}

/** Asks every corner of every face once. */
async function askCorners(mesh: ContactMesh, touches: Touches, task: Task): Promise<Corners> {
  const key = (corner: number, face: number): number => face * 2 ** 26 + corner;
  const inward = new Map<number, number[]>();
  const border = new Set<number>();
  for (let t = 0; t < mesh.face.length; t++) {
    const face = mesh.face[t];
    const centre = middle(mesh.position, mesh.corner, 3 * t);
    for (let k = 0; k < 3; k++) {
      const [v, w] = [mesh.corner[3 * t + k], mesh.corner[3 * t + ((k + 1) % 3)]];
      const sum = inward.get(key(v, face)) ?? [0, 0, 0];
      for (let c = 0; c < 3; c++) sum[c] += centre[c] - mesh.position[3 * v + c];
      inward.set(key(v, face), sum);
      if (mesh.edgeOf(v, w) < 0) continue;
      border.add(key(v, face));
      border.add(key(w, face));
    }
  }
  const probes = new Map<number, { readonly at: readonly number[]; readonly touches: boolean }>();
  let asked = 0;
  for (const [at, sum] of inward) {
    if (asked++ % BATCH === 0) await task.pause('looking for contact', asked / inward.size / 2);
    const face = Math.floor(at / 2 ** 26);
    const v = at - face * 2 ** 26;
    const size = Math.sqrt(sum[0] * sum[0] + sum[1] * sum[1] + sum[2] * sum[2]);
    const step = border.has(at) && size > 0 ? Math.min(INSIDE, size / 3) / size : 0;
    const [x, y, z] = [0, 1, 2].map((c) => mesh.position[3 * v + c] + step * sum[c]);
    probes.set(at, { at: [x, y, z], touches: touches(face, x, y, z) });
  }
  return {
    touches: (corner, face) => probes.get(key(corner, face))?.touches === true,
    probe: (corner, face) => (probes.get(key(corner, face)) as { at: readonly number[] }).at,
  };
}

/** Where the answer changes between two places of different answers. */
function halve(
  a: readonly number[],
  b: readonly number[],
  touches: (x: number, y: number, z: number) => boolean,
): readonly number[] {
  const at = (f: number): [number, number, number] => [
    a[0] + f * (b[0] - a[0]),
    a[1] + f * (b[1] - a[1]),
    a[2] + f * (b[2] - a[2]),
  ];
  const first = touches(...at(0));
  let low = 0;
  let high = 1;
  for (let i = 0; i < HALVINGS; i++) {
    const half = (low + high) / 2;
    if (touches(...at(half)) === first) low = half;
    else high = half;
  }
  return at((low + high) / 2);
}

/** Steps put one after the other into closed chains. */
function chainSteps(steps: readonly BorderStep[]): BorderStep[][] {
  const from = new Map<number, BorderStep[]>();
  for (const step of steps) {
    const list = from.get(step.from) ?? [];
    from.set(step.from, list);
    list.push(step);
  }
  const chains: BorderStep[][] = [];
  for (const first of steps) {
    const chain: BorderStep[] = [];
    let next = from.get(first.from)?.includes(first) ? first : undefined;
    while (next !== undefined) {
      const list = from.get(next.from) as BorderStep[];
      list.splice(list.indexOf(next), 1);
      chain.push(next);
      if (next.to === first.from) break;
      next = from.get(next.to)?.[0];
    }
    if (chain.length > 0) chains.push(chain);
  }
  return chains;
}

interface Union {
  join(a: number, b: number): void;
  of(node: number): number;
}

function createUnion(): Union {
  const parent = new Map<number, number>();
  const of = (node: number): number => {
    let root = node;
    for (let up = parent.get(root); up !== undefined && up !== root; up = parent.get(root)) root = up;
    for (let at = node; at !== root; ) {
      const up = parent.get(at) ?? root;
      parent.set(at, root);
      at = up;
    }
    return root;
  };
  return {
    of,
    join(a, b) {
      parent.set(of(a), of(b));
    },
  };
}

function place(position: readonly number[], node: number): [number, number, number] {
  return [position[3 * node], position[3 * node + 1], position[3 * node + 2]];
}

function middle(position: readonly number[], corner: readonly number[], t: number): [number, number, number] {
  const at = (k: number): number =>
    (position[3 * corner[t] + k] + position[3 * corner[t + 1] + k] + position[3 * corner[t + 2] + k]) / 3;
  return [at(0), at(1), at(2)];
}

function lengthOf(position: readonly number[], chain: readonly BorderStep[]): number {
  return chain.reduce((sum, { from, to }) => {
    const [x, y, z] = [0, 1, 2].map((k) => position[3 * to + k] - position[3 * from + k]);
    return sum + Math.sqrt(x * x + y * y + z * z);
  }, 0);
}
