// Beam and aperture at the cursor, true to scale: a clear cone, rings at the exit of the head, at the point of entry and on the joint.
import { BufferAttribute, BufferGeometry, DoubleSide, Group, Mesh, MeshBasicMaterial } from 'three';
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

export function createBeam(): StageBeam {
  const object = new Group();
  const material = new MeshBasicMaterial({ side: DoubleSide, transparent: true, opacity: 0.16, depthWrite: false });
  const cone = new Mesh(new BufferGeometry(), material);
  cone.renderOrder = 8;
  cone.frustumCulled = false;
  const rings = createFatLines({ linewidth: 1.6, opacity: 0.99, renderOrder: 9 });
  const axis = createFatLines({ linewidth: 1, opacity: 0.8, renderOrder: 9 });
  const sides = createFatLines({ linewidth: 1, opacity: 0.55, renderOrder: 9 });
  // The spot shows through what stands before it, faintly.
  const through = createFatLines({ linewidth: 1.6, opacity: 0.35, depthTest: false, renderOrder: 9 });
  object.add(cone, rings.object, axis.object, sides.object, through.object);

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
      const silhouette = [0, RING / 4, RING / 2, (3 * RING) / 4].map((i) =>
        Float32Array.from(made.rings.flatMap((ring) => [ring[3 * i], ring[3 * i + 1], ring[3 * i + 2]])),
      );
      sides.setChains(silhouette);
    },
    recolour(theme) {
      material.color.copy(theme.light);
      for (const lines of [rings, axis, sides, through]) lines.material.color.copy(theme.light);
    },
    dispose() {
      for (const lines of [rings, axis, sides, through]) lines.dispose();
      cone.geometry.dispose();
      material.dispose();
    },
  };
}
