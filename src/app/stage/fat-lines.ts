// Lines with a width in pixels, as one draw call.
import type { ColorRepresentation, Plane } from 'three';
import { LineMaterial } from 'three/addons/lines/LineMaterial.js';
import { LineSegments2 } from 'three/addons/lines/LineSegments2.js';
import { LineSegmentsGeometry } from 'three/addons/lines/LineSegmentsGeometry.js';

export interface FatLineStyle {
  readonly color?: ColorRepresentation;
  /** CSS pixels. */
  readonly linewidth: number;
  readonly opacity?: number;
  readonly dashed?: boolean;
  /** mm */
  readonly dashSize?: number;
  readonly gapSize?: number;
  readonly depthTest?: boolean;
  readonly renderOrder?: number;
}

export interface FatLines {
  readonly object: LineSegments2;
  readonly material: LineMaterial;
  /** Chains of points, 3 x n each. */
  setChains(chains: readonly ArrayLike<number>[]): void;
  clip(planes: Plane[] | null): void;
  dispose(): void;
}

export function createFatLines(style: FatLineStyle): FatLines {
  const { renderOrder = 0, opacity = 1, dashed = false, ...rest } = style;
  const material = new LineMaterial({ ...rest, dashed, opacity, transparent: opacity < 1, depthWrite: opacity >= 1 });
  const object = new LineSegments2(new LineSegmentsGeometry(), material);
  object.renderOrder = renderOrder;
  object.visible = false;
  return {
    object,
    material,
    setChains(chains) {
      const segments = toSegments(chains);
      object.geometry.dispose();
      object.geometry = new LineSegmentsGeometry();
      object.visible = segments.length > 0;
      if (segments.length === 0) return;
      object.geometry.setPositions(segments);
      if (dashed) object.computeLineDistances();
    },
    clip(planes) {
      material.clippingPlanes = planes;
      material.needsUpdate = true;
    },
    dispose() {
      object.geometry.dispose();
      material.dispose();
    },
  };
}

/** Each chord as its two ends; chords with an unknown end are left out. */
export function toSegments(chains: readonly ArrayLike<number>[]): Float32Array {
  const chords = chains.reduce((sum, chain) => sum + Math.max(0, chain.length / 3 - 1), 0);
  const out = new Float32Array(6 * chords);
  let at = 0;
  for (const chain of chains) {
    for (let k = 0; k + 5 < chain.length; k += 3) {
      let known = true;
      for (let c = 0; c < 6; c++) {
        out[at + c] = chain[k + c];
        known &&= Number.isFinite(chain[k + c]);
      }
      if (known) at += 6;
    }
  }
  return out.subarray(0, at);
}
