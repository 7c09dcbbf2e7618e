// What a body needs before it can be drawn and picked: split vertices, and a bounding volume hierarchy for rays.
import { Box3, BufferAttribute, BufferGeometry, Sphere, Vector3 } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import type { SplitMesh } from './split-faces.ts';

/** A hierarchy as it travels between threads. */
export interface SerializedHierarchy {
  readonly roots: ArrayBuffer[];
  readonly indirectBuffer: Uint32Array | Uint16Array | null;
}

/** Geometry of one body for three. */
export function geometryOf({ position, normal, index, low, high }: SplitMesh): BufferGeometry {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(position, 3));
  geometry.setAttribute('normal', new BufferAttribute(normal, 3));
  geometry.setIndex(new BufferAttribute(index, 1));
  geometry.boundingBox = new Box3(new Vector3(...low), new Vector3(...high));
  geometry.boundingSphere = geometry.boundingBox.getBoundingSphere(new Sphere());
  return geometry;
}

/** Triangles keep their order: the hierarchy holds an order of its own. */
export function buildHierarchy(mesh: SplitMesh): SerializedHierarchy {
  const bvh = new MeshBVH(geometryOf(mesh), { indirect: true });
  const { roots, indirectBuffer } = MeshBVH.serialize(bvh, { cloneBuffers: false }) as unknown as SerializedHierarchy;
  return { roots, indirectBuffer };
}

export function hierarchyOf(geometry: BufferGeometry, serialized: SerializedHierarchy): MeshBVH {
  const data = { ...serialized, index: null, version: 1 };
  return MeshBVH.deserialize(data as unknown as Parameters<typeof MeshBVH.deserialize>[0], geometry, {
    setIndex: false,
  });
}
