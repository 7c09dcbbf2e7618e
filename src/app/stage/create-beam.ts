// Beam and aperture at the cursor, true to scale: a clear cone, rings at the exit of the head, at the point of entry and on the joint.
import { BufferAttribute, BufferGeometry, Color, DoubleSide, Group, Mesh, ShaderMaterial } from 'three';
import type { SeamView } from '../../output/view/plan-view.ts';
import { coneRings, RING } from './beam-cone.ts';
import { createFatLines } from './fat-lines.ts';
import type { StageTheme } from './theme.ts';

export interface StageBeam {
  readonly object: Group;
  update(seam: SeamView | null, row: number): void;
  recolour(theme: StageTheme): void;
  dispose(): void;
}

/** Light in a cone: denser towards its silhouette, so that one sees its shape through it. */
function coneMaterial(): ShaderMaterial {
  return new ShaderMaterial({
    side: DoubleSide,
    transparent: true,
    depthWrite: false,
    uniforms: { colour: { value: new Color() } },
    vertexShader: `
      varying vec3 across;
      varying vec3 towards;
      void main() {
        vec4 seen = modelViewMatrix * vec4(position, 1.0);
        across = normalMatrix * normal;
        towards = isOrthographic ? vec3(0.0, 0.0, 1.0) : -seen.xyz;
        gl_Position = projectionMatrix * seen;
      }`,
    fragmentShader: `
      uniform vec3 colour;
      varying vec3 across;
      varying vec3 towards;
      void main() {
        float lean = 1.0 - abs(dot(normalize(across), normalize(towards)));
        gl_FragColor = vec4(colour, 0.09 + 0.42 * lean * lean * lean);
        #include <colorspace_fragment>
      }`,
  });
}

export function createBeam(): StageBeam {
  const object = new Group();
  const material = coneMaterial();
  const cone = new Mesh(new BufferGeometry(), material);
  cone.renderOrder = 8;
  cone.frustumCulled = false;
  const rings = createFatLines({ linewidth: 1.6, opacity: 0.99, renderOrder: 9 });
  const axis = createFatLines({ linewidth: 1, opacity: 0.8, renderOrder: 9 });
  // The spot shows through what stands before it, faintly.
  const through = createFatLines({ linewidth: 1.6, opacity: 0.35, depthTest: false, renderOrder: 9 });
  object.add(cone, rings.object, axis.object, through.object);

  function setCone(points: readonly Float32Array[]): void {
    const position = new Float32Array(3 * RING * points.length);
    points.forEach((ring, k) => {
      position.set(ring, 3 * RING * k);
    });
    const index: number[] = [];
    for (let k = 0; k + 1 < points.length; k++) {
      for (let i = 0; i < RING; i++) {
        const [a, b] = [k * RING + i, k * RING + ((i + 1) % RING)];
        index.push(a, b, b + RING, a, b + RING, a + RING);
      }
    }
    cone.geometry.dispose();
    cone.geometry = new BufferGeometry();
    cone.geometry.setAttribute('position', new BufferAttribute(position, 3));
    cone.geometry.setIndex(index);
    cone.geometry.computeVertexNormals();
  }

  const closed = (ring: Float32Array): Float32Array => Float32Array.of(...ring, ring[0], ring[1], ring[2]);

  return {
    object,
    update(seam, row) {
      const made = seam === null || row >= seam.count ? null : coneRings(seam, row);
      object.visible = made !== null;
      if (made === null || seam === null) return;
      setCone(made.rings);
      // With the beam off its way is drawn as a thin line only.
      const on = seam.beam[row] === 1;
      cone.visible = on;
      const spot = made.rings[made.rings.length - 1];
      rings.setChains(made.rings.map(closed));
      through.setChains([closed(spot)]);
      axis.setChains([Float32Array.from(made.centres.flat())]);
    },
    recolour(theme) {
      material.uniforms.colour.value.copy(theme.light);
      for (const lines of [rings, axis, through]) lines.material.color.copy(theme.light);
    },
    dispose() {
      for (const lines of [rings, axis, through]) lines.dispose();
      cone.geometry.dispose();
      material.dispose();
    },
  };
}
