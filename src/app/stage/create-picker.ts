// What lies under the pointer: faces by rays through the bodies' hierarchies, edges in the picture, and what hides a point.
import { DoubleSide, type Plane, type Ray, Raycaster, Vector2, Vector3 } from 'three';
import type { CameraRig } from './camera-rig.ts';
import type { StageBody } from './create-body.ts';
import { chainsNear, project } from './screen-space.ts';

/** Edges are found this far from the pointer, pixels. */
const EDGE_REACH = 6;

export interface FaceHit {
  readonly body: StageBody;
  readonly point: Vector3;
  /** Face of the model. */
  readonly face: number;
  /** Outward unit normal of the facet. */
  readonly normal: Vector3;
  readonly distance: number;
}

export interface EdgeHit {
  readonly body: StageBody;
  /** Index into the body's edges. */
  readonly edge: number;
  readonly point: Vector3;
}

export interface Picker {
  /** First face under the pointer among the bodies that `counts`. */
  face(x: number, y: number, counts?: (body: StageBody) => boolean): FaceHit | null;
  /** Closest edge that nothing solid hides, among the bodies that `counts`. */
  edge(x: number, y: number, counts?: (body: StageBody) => boolean): EdgeHit | null;
  /** Whether something solid stands before the point by more than `slack` mm. */
  isHidden(point: Vector3, slack: number): boolean;
}

export function createPicker(rig: CameraRig, bodies: () => readonly StageBody[], plane: () => Plane | null): Picker {
  const caster = new Raycaster();
  const pointer = new Vector2();
  const at = new Float64Array(3);

  function rayThrough(x: number, y: number): Ray {
    const { width, height } = rig.screen();
    pointer.set((2 * x) / width - 1, 1 - (2 * y) / height);
    caster.setFromCamera(pointer, rig.camera);
    return caster.ray;
  }

  function firstHit(ray: Ray, body: StageBody): FaceHit | null {
    const { hierarchy } = body;
    if (hierarchy === null || !body.object.visible) return null;
    const cut = plane();
    const hit =
      cut === null
        ? hierarchy.raycastFirst(ray, DoubleSide)
        : hierarchy
            .raycast(ray, DoubleSide)
            .filter(({ point }) => cut.distanceToPoint(point) >= 0)
            .sort((a, b) => a.distance - b.distance)[0];
    if (hit === null || hit === undefined) return null;
    const normal = hit.face?.normal.clone() ?? new Vector3(0, 0, 1);
    const face = body.view.faceOfTriangle[hit.faceIndex ?? 0];
    return { body, face, point: hit.point.clone(), normal, distance: hit.distance };
  }

  function nearest(ray: Ray, counts: (body: StageBody) => boolean): FaceHit | null {
    let best: FaceHit | null = null;
    for (const body of bodies()) {
      if (!counts(body)) continue;
      const hit = firstHit(ray, body);
      if (hit !== null && (best === null || hit.distance < best.distance)) best = hit;
    }
    return best;
  }

  function isHidden(point: Vector3, slack: number): boolean {
    const screen = rig.screen();
    if (!project(screen, point.x, point.y, point.z, at)) return true;
    const cut = plane();
    if (cut !== null && cut.distanceToPoint(point) < -slack) return true;
    const ray = rayThrough(at[0], at[1]);
    const distance = point.clone().sub(ray.origin).dot(ray.direction);
    const hit = nearest(ray, (body) => body.role === 'absorbing');
    return hit !== null && hit.distance < distance - slack;
  }

  return {
    face: (x, y, counts = () => true) => nearest(rayThrough(x, y), counts),
    edge(x, y, counts = () => true) {
      const screen = rig.screen();
      const cut = plane();
      for (const body of bodies()) body.object.updateMatrixWorld();
      const found = bodies().flatMap((body) => {
        if (!counts(body) || !body.object.visible) return [];
        const chains = body.view.edges.map((edge) => edge.position);
        return chainsNear(screen, chains, x, y, EDGE_REACH).map((hit) => ({ body, hit }));
      });
      const rank = ({ hit }: (typeof found)[number]) => Math.round(hit.distance);
      found.sort((a, b) => rank(a) - rank(b) || a.hit.depth - b.hit.depth);
      for (const { body, hit } of found) {
        const point = new Vector3(...hit.point);
        if (cut !== null && cut.distanceToPoint(point) < 0) continue;
        const box = body.view.position.length > 0 ? 0.003 * rig.camera.position.distanceTo(point) : 0;
        if (!isHidden(point, Math.max(0.1, box))) return { body, edge: hit.chain, point };
      }
      return null;
    },
    isHidden,
  };
}
