// The outline of a cut: where the plane meets the triangles of a body.
import { Line3, type Plane, Vector3 } from 'three';
import { INTERSECTED, type MeshBVH, NOT_INTERSECTED } from 'three-mesh-bvh';

/** Chords of the cut, each as its two ends, a chain of 6 numbers. */
export function sectionOutline(hierarchy: MeshBVH, plane: Plane): number[][] {
  const chords: number[][] = [];
  const side = new Line3();
  const point = new Vector3();
  hierarchy.shapecast({
    intersectsBounds: (box) => (plane.intersectsBox(box) ? INTERSECTED : NOT_INTERSECTED),
    intersectsTriangle(triangle) {
      const { a, b, c } = triangle;
      const ends: number[] = [];
      for (const [from, to] of [
        [a, b],
        [b, c],
        [c, a],
      ]) {
        side.set(from, to);
        // A side that begins on the plane counts, one that ends there does not: each crossing counts once.
        const before = plane.distanceToPoint(from);
        const after = plane.distanceToPoint(to);
        if (before < 0 === after < 0) continue;
        side.at(before / (before - after), point);
        ends.push(point.x, point.y, point.z);
      }
      if (ends.length === 6) chords.push(ends);
      return false;
    },
  });
  return chords;
}
