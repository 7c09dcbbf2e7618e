// The seam as a coloured ribbon. Colours come from a table by value, so that a new quantity costs one array; stretches over a limit
// are hatched, unknown ones are grey and dotted.
import {
  BufferAttribute,
  BufferGeometry,
  Color,
  DataTexture,
  DoubleSide,
  Group,
  LinearFilter,
  Mesh,
  RGBAFormat,
  ShaderMaterial,
  SRGBColorSpace,
} from 'three';
import type { SeamView } from '../../output/view/plan-view.ts';
import { shownColour } from '../../output/colour-map.ts';
import { CONSTANT_SHARE, isConstant, type Quantity } from './quantities.ts';
import { heatRibbon, type RibbonMesh, seamRibbons } from './ribbon-mesh.ts';
import type { StageTheme } from './theme.ts';

export interface StageRibbon {
  readonly object: Group;
  update(seam: SeamView | null, quantity: Quantity | null): void;
  /** Of an older job: paler. */
  dim(stale: boolean): void;
  recolour(theme: StageTheme): void;
  dispose(): void;
}

function colourTable(): DataTexture {
  const data = new Uint8Array(4 * 256);
  for (let k = 0; k < 256; k++) data.set([...shownColour(k / 255), 255], 4 * k);
  const table = new DataTexture(data, 256, 1, RGBAFormat);
  table.colorSpace = SRGBColorSpace;
  table.minFilter = LinearFilter;
  table.magFilter = LinearFilter;
  table.needsUpdate = true;
  return table;
}

const VERTEX = `
  attribute float value;
  attribute float known;
  attribute float along;
  attribute float across;
  varying float vValue;
  varying float vKnown;
  varying vec2 vPlace;
  void main() {
    vValue = value;
    vKnown = known;
    vPlace = vec2(along, across);
    gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
  }`;

const FRAGMENT = `
  uniform sampler2D table;
  uniform float low;
  uniform float high;
  uniform float least;
  uniform float most;
  uniform float pitch;
  uniform vec3 unknown;
  uniform vec3 ink;
  uniform vec3 ground;
  uniform float opacity;
  uniform vec3 plain;
  uniform float isPlain;
  varying float vValue;
  varying float vKnown;
  varying vec2 vPlace;
  void main() {
    float share = high > low ? clamp((vValue - low) / (high - low), 0.0, 1.0) : ${CONSTANT_SHARE.toFixed(2)};
    vec3 colour = texture2D(table, vec2((share * 255.0 + 0.5) / 256.0, 0.5)).rgb;
    float diagonal = mod(vPlace.x + vPlace.y, pitch) / pitch;
    float edge = fwidth((vPlace.x + vPlace.y) / pitch);
    float stripe = smoothstep(0.5 - edge, 0.5 + edge, abs(diagonal - 0.5) * 2.0);
    if (isPlain > 0.5) colour = plain;
    else if (vKnown < 0.999) colour = mix(unknown, ground, 0.45 * stripe);
    else if (vValue > most || vValue < least) colour = mix(colour, ink, 0.85 * stripe);
    gl_FragColor = vec4(mix(ground, colour, opacity), 1.0);
    #include <colorspace_fragment>
  }`;

/** A float that stands for no limit in the shader. */
const FAR = 3e38;

/** Limits compare with a tolerance, here of their last shown place. */
const SLACK = 0.5;

export function createRibbon(): StageRibbon {
  const object = new Group();
  const table = colourTable();
  const material = new ShaderMaterial({
    side: DoubleSide,
    polygonOffset: true,
    polygonOffsetFactor: -2,
    polygonOffsetUnits: -4,
    uniforms: {
      table: { value: table },
      low: { value: 0 },
      high: { value: 1 },
      least: { value: -FAR },
      most: { value: FAR },
      pitch: { value: 1.2 },
      unknown: { value: new Color() },
      ink: { value: new Color() },
      ground: { value: new Color() },
      opacity: { value: 1 },
      plain: { value: new Color() },
      isPlain: { value: 1 },
    },
    vertexShader: VERTEX,
    fragmentShader: FRAGMENT,
    // After the clear bodies, which write no depth: the seam is the most saturated thing in the picture.
    transparent: true,
  });
  let meshes: { readonly mesh: Mesh<BufferGeometry>; readonly source: Uint32Array }[] = [];
  let shape: { readonly seam: SeamView; readonly values: Float64Array | null } | null = null;

  function clear(): void {
    for (const { mesh } of meshes) mesh.geometry.dispose();
    object.clear();
    meshes = [];
  }

  function build(parts: readonly RibbonMesh[]): void {
    clear();
    meshes = parts.map(({ position, source, along, across, index }, k) => {
      const geometry = new BufferGeometry();
      geometry.setAttribute('position', new BufferAttribute(position, 3));
      geometry.setAttribute('along', new BufferAttribute(along, 1));
      geometry.setAttribute('across', new BufferAttribute(across, 1));
      geometry.setAttribute('value', new BufferAttribute(new Float32Array(source.length), 1));
      geometry.setAttribute('known', new BufferAttribute(new Float32Array(source.length), 1));
      geometry.setIndex(new BufferAttribute(index, 1));
      const mesh = new Mesh(geometry, material);
      mesh.renderOrder = 5 + k / 10;
      object.add(mesh);
      return { mesh, source };
    });
  }

  return {
    object,
    update(seam, quantity) {
      if (seam === null) {
        clear();
        shape = null;
        return;
      }
      const values = quantity?.on === 'ribbon' ? quantity.values : null;
      if (shape === null || shape.seam !== seam || shape.values !== values) {
        build(values !== null && seam.ribbon !== null ? [heatRibbon(seam.ribbon, values)] : seamRibbons(seam));
        shape = { seam, values };
      }
      for (const { mesh, source } of meshes) {
        const value = mesh.geometry.getAttribute('value') as BufferAttribute;
        const known = mesh.geometry.getAttribute('known') as BufferAttribute;
        source.forEach((row, k) => {
          const shown = quantity?.values[row] ?? Number.NaN;
          const isKnown = Number.isFinite(shown);
          value.array[k] = isKnown ? shown : 0;
          known.array[k] = isKnown ? 1 : 0;
        });
        value.needsUpdate = true;
        known.needsUpdate = true;
      }
      const { uniforms } = material;
      uniforms.isPlain.value = quantity === null ? 1 : 0;
      const constant = quantity === null || isConstant(quantity);
      uniforms.low.value = constant ? 0 : quantity.low;
      uniforms.high.value = constant ? 0 : quantity.high;
      const slack = quantity === null ? 0 : SLACK * 10 ** -quantity.decimals;
      const limit = (kind: 'most' | 'least') => quantity?.limits.find((candidate) => candidate.kind === kind)?.value;
      uniforms.most.value = (limit('most') ?? FAR) + slack;
      uniforms.least.value = (limit('least') ?? -FAR) - slack;
      uniforms.pitch.value = Math.max(0.4, 0.7 * seam.width);
    },
    dim(stale) {
      material.uniforms.opacity.value = stale ? 0.45 : 1;
    },
    recolour(theme) {
      material.uniforms.plain.value.copy(theme.light);
      material.uniforms.unknown.value.copy(theme.faint);
      material.uniforms.ink.value.copy(theme.dark ? theme.paper : theme.ink);
      material.uniforms.ground.value.copy(theme.sheet);
    },
    dispose() {
      clear();
      material.dispose();
      table.dispose();
    },
  };
}
