// heat.glb: the part, clear, with the ribbon of heat on top, for a reviewer who installs nothing. glTF 2.0: metres, +Y up; one scene
// a quantity, the first is shown: energy of the light per area, then the temperatures.
import type { Heat } from '../model/heat.ts';
import type { Path } from '../model/path.ts';
import type { Plan, SeamPlan } from '../planner/plan.ts';
import { colourStep, linearColours } from './colour-map.ts';
import { createGlbBuilder, type GlbBuilder } from './glb-file.ts';

export const HEAT_FILE = 'heat.glb';

const M_PER_MM = 1e-3;

/** The ribbon lies this far above the joint, so that the face does not shine through it, mm. */
const LIFT = 0.05;

interface Quantity {
  readonly title: string;
  /** UCUM code. */
  readonly unit: string;
  readonly decimals: number;
  readonly of: (heat: Heat) => Float64Array;
}

const RIBBON_QUANTITIES: readonly Quantity[] = [
  { title: 'fluence', unit: 'J/mm2', decimals: 3, of: (heat) => heat.fluence },
  { title: 'peak temperature of the bond plane', unit: 'Cel', decimals: 0, of: (heat) => heat.peak },
  { title: 'highest temperature below the joint', unit: 'Cel', decimals: 0, of: (heat) => heat.hottest },
];

const PART = 0;
const RIBBON = 1;

interface Node {
  readonly name: string;
  readonly mesh: number;
  readonly extras: object;
}

/** The file as bytes; null where no seam has heat. */
export function heatGlb(plan: Plan): Uint8Array | null {
  const warm = plan.seams.filter((seam): seam is SeamPlan & { readonly heat: Heat } => seam.heat !== null);
  if (warm.length === 0) return null;
  const glb = createGlbBuilder();
  const meshes: object[] = [];
  const nodes: Node[] = [];
  const addNode = (name: string, primitive: object, extras: object): number => {
    meshes.push({ name, primitives: [primitive] });
    nodes.push({ name, mesh: meshes.length - 1, extras });
    return nodes.length - 1;
  };
  const bodies = plan.bodies.flatMap(({ part, body }, k) => {
    const { role, file } = plan.job.parts[k];
    const record = plan.parts[part].bodies[body];
    if (role === 'tooling' || record.triangle.length === 0) return [];
    const attributes = { POSITION: glb.points(inMetres(record.position)) };
    const primitive = { attributes, indices: glb.indices(record.triangle), material: PART };
    return [addNode(`${record.name}, ${role}`, primitive, { file, role })];
  });
  const scenes = RIBBON_QUANTITIES.map((quantity) => {
    const range = rangeOf(warm, quantity);
    const ribbons = warm.flatMap((seam) => {
      const primitive = ribbonPrimitive(glb, seam.path, seam.heat, quantity.of(seam.heat), range);
      if (primitive === null) return [];
      const [low, high] = range.map((value) => value.toFixed(quantity.decimals));
      const name = `${seam.seam.name}: ${quantity.title}, ${low} to ${high} ${quantity.unit}`;
      const { title, unit } = quantity;
      return [
        addNode(name, primitive, {
          seam: seam.seam.name,
          quantity: title,
          unit,
          low: range[0],
          high: range[1],
          colours: 'cividis',
        }),
      ];
    });
    return { name: quantity.title, nodes: [...bodies, ...ribbons] };
  });
  return glb.finish({
    asset: { version: '2.0', generator: `raythread ${plan.version}` },
    extensionsUsed: ['KHR_materials_unlit'],
    scene: 0,
    scenes,
    nodes,
    meshes,
    materials: [
      {
        name: 'part',
        pbrMetallicRoughness: { baseColorFactor: [0.45, 0.5, 0.55, 0.25], metallicFactor: 0, roughnessFactor: 0.8 },
        alphaMode: 'BLEND',
        doubleSided: true,
      },
      { name: 'ribbon', extensions: { KHR_materials_unlit: {} }, doubleSided: true },
    ],
  });
}

/** Points in mm, z up, as metres with y up: (x, z, -y). */
function inMetres(position: Float64Array): Float32Array {
  const out = new Float32Array(position.length);
  for (let k = 0; k < position.length; k += 3) {
    out[k] = position[k] * M_PER_MM;
    out[k + 1] = position[k + 2] * M_PER_MM;
    out[k + 2] = -position[k + 1] * M_PER_MM + 0;
  }
  return out;
}

/** Least and largest known value on the seams; 0, 0 where there is none. */
function rangeOf(seams: readonly (SeamPlan & { readonly heat: Heat })[], { of }: Quantity): readonly [number, number] {
  let [low, high] = [Infinity, -Infinity];
  for (const { heat, path } of seams) {
    of(heat).forEach((value, k) => {
      if (Number.isNaN(value) || path.onSeam[Math.floor(k / heat.across)] === 0) return;
      low = Math.min(low, value);
      high = Math.max(high, value);
    });
  }
  return high >= low ? [low, high] : [0, 0];
}

/** The ribbon as coloured triangles between known points on the seam; null where there are none. */
function ribbonPrimitive(
  glb: GlbBuilder,
  path: Path,
  heat: Heat,
  values: Float64Array,
  [low, high]: readonly [number, number],
): object | null {
  const { count, across } = heat;
  const corners: number[] = [];
  const known = (i: number, j: number) => !Number.isNaN(values[i * across + j]) && path.onSeam[i] === 1;
  const ends = path.closed ? count : count - 1;
  for (let i = 0; i < ends; i++) {
    const next = (i + 1) % count;
    for (let j = 0; j + 1 < across; j++) {
      if (!(known(i, j) && known(i, j + 1) && known(next, j) && known(next, j + 1))) continue;
      // Turning left seen from above: along t, then towards b.
      const [a, b, c, d] = [i * across + j, next * across + j, next * across + j + 1, i * across + j + 1];
      corners.push(a, b, c, a, c, d);
    }
  }
  if (corners.length === 0) return null;
  const lifted = heat.position.map(
    (value, k) => value + LIFT * path.normal[3 * Math.floor(k / (3 * across)) + (k % 3)],
  );
  const colour = linearColours();
  const rgba = new Uint8Array(4 * values.length);
  values.forEach((value, k) => {
    const step = Number.isNaN(value) ? 0 : colourStep(value, low, high);
    for (let channel = 0; channel < 3; channel++) rgba[4 * k + channel] = Math.round(255 * colour[3 * step + channel]);
    rgba[4 * k + 3] = 255;
  });
  const attributes = { POSITION: glb.points(inMetres(lifted)), COLOR_0: glb.colours(rgba) };
  return { attributes, indices: glb.indices(Uint32Array.from(corners)), material: RIBBON };
}
