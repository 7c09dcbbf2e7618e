// The face under the pointer while it would be picked as a band.
import { BufferAttribute, BufferGeometry, DoubleSide, Mesh, MeshBasicMaterial } from 'three';
import type { BodyView } from '../../output/view/plan-view.ts';
import type { StageTheme } from './theme.ts';

export interface FaceHighlight {
  readonly object: Mesh;
  /** Null takes it away. True where the picture changed. */
  update(face: { readonly body: BodyView; readonly face: number } | null): boolean;
  recolour(theme: StageTheme): void;
  dispose(): void;
}

export function createFaceHighlight(): FaceHighlight {
  const material = new MeshBasicMaterial({
    side: DoubleSide,
    transparent: true,
    opacity: 0.55,
    depthWrite: false,
    polygonOffset: true,
    polygonOffsetFactor: -1,
    polygonOffsetUnits: -2,
  });
  const object = new Mesh(new BufferGeometry(), material);
  object.renderOrder = 13;
  object.visible = false;
  let shown = '';
  return {
    object,
    update(next) {
      const key = next === null ? '' : `${next.body.key}/${next.face}`;
      if (key === shown) return false;
      shown = key;
      object.visible = next !== null;
      object.geometry.dispose();
      object.geometry = new BufferGeometry();
      if (next === null) return true;
      object.geometry.setAttribute('position', new BufferAttribute(next.body.position, 3));
      object.geometry.setIndex(new BufferAttribute(trianglesOf(next.body, next.face), 1));
      return true;
    },
    recolour(theme) {
      material.color.copy(theme.light);
    },
    dispose() {
      object.geometry.dispose();
      material.dispose();
    },
  };
}

function trianglesOf({ triangle, faceOfTriangle }: BodyView, face: number): Uint32Array {
  const corners: number[] = [];
  for (let t = 0; t < faceOfTriangle.length; t++) {
    if (faceOfTriangle[t] === face) corners.push(triangle[3 * t], triangle[3 * t + 1], triangle[3 * t + 2]);
  }
  return Uint32Array.from(corners);
}
