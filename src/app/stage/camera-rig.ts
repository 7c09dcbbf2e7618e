// Two cameras that show the same, the controls that turn them about z, standard views and fit.
import { type Box3, OrthographicCamera, PerspectiveCamera, Sphere, Spherical, Vector3 } from 'three';
import { OrbitControls } from 'three/addons/controls/OrbitControls.js';
import type { StandardView } from '../store/state.ts';
import type { Screen } from './screen-space.ts';
import { eyeOf, fitPoints, halfHeight, type Triple } from './standard-view.ts';

const FOV = (28 * Math.PI) / 180;

/** Share of the picture that a fitted scene leaves free. */
const MARGIN = 1.05;

/** How long a change of view takes, ms. */
const GLIDE = 150;

const Z = new Vector3(0, 0, 1);

export interface CameraRig {
  readonly camera: PerspectiveCamera | OrthographicCamera;
  resize(width: number, height: number): void;
  project(kind: 'perspective' | 'orthographic'): void;
  /** Looks at all points (lists of 3 x n) from a standard direction, or with `fit` from where the eye is. */
  show(view: StandardView, points: readonly ArrayLike<number>[], glide: boolean): void;
  /** Comes close to a point, from outside along `normal` but not straight on. */
  approach(point: Vector3, normal: Vector3, size: number, glide: boolean): void;
  /** Moves eye and target with the world. */
  shift(by: Vector3): void;
  /** Turns about the target, rad, or comes nearer by a factor. */
  turn(azimuth: number, polar: number, nearer: number): void;
  /** Brings near and far planes round all that is drawn; to be called before drawing. True while the view glides. */
  settle(everything: Box3, now: number): boolean;
  screen(): Screen;
  /** Where the eye stands, to be taken again by another rig. */
  pose(): Pose;
  take(pose: Pose): void;
  dispose(): void;
}

/** Where the eye stands. */
export interface Pose {
  readonly target: Vector3;
  readonly offset: Spherical;
  readonly half: number;
}

export function createCameraRig(canvas: HTMLCanvasElement, moved: () => void): CameraRig {
  const perspective = new PerspectiveCamera((FOV * 180) / Math.PI, 1, 0.1, 1e4);
  const orthographic = new OrthographicCamera(-1, 1, 1, -1, 0.1, 1e4);
  for (const camera of [perspective, orthographic]) {
    camera.up.copy(Z);
    camera.position.set(-200, -300, 200);
  }
  let camera: PerspectiveCamera | OrthographicCamera = perspective;
  let width = 1;
  let height = 1;
  /** Half height of the orthographic picture at zoom 1. */
  let half = 100;
  let glide: { readonly from: Pose; readonly to: Pose; readonly start: number } | null = null;
  const controls = new OrbitControls<PerspectiveCamera | OrthographicCamera>(camera, canvas);
  controls.enableDamping = false;
  controls.zoomToCursor = true;
  controls.zoomSpeed = 1.4;
  controls.addEventListener('change', moved);
  controls.addEventListener('start', () => {
    glide = null;
  });

  const distance = () => camera.position.distanceTo(controls.target);
  const shownHalf = () => (camera === perspective ? halfHeight(distance(), FOV) : half / orthographic.zoom);

  // Spherical counts its polar angle from y: the frame is turned so that z stands there.
  const toSpherical = (v: Vector3) => new Spherical().setFromCartesianCoords(v.y, v.z, v.x);
  const fromSpherical = (s: Spherical) => {
    const v = new Vector3().setFromSpherical(s);
    return new Vector3(v.z, v.x, v.y);
  };
  const pose = (): Pose => ({
    target: controls.target.clone(),
    offset: toSpherical(camera.position.clone().sub(controls.target)),
    half: shownHalf(),
  });

  function applyFrustum(): void {
    perspective.aspect = width / height;
    orthographic.left = (-half * width) / height;
    orthographic.right = (half * width) / height;
    orthographic.top = half;
    orthographic.bottom = -half;
    camera.updateProjectionMatrix();
  }

  function take({ target, offset, half: wanted }: Pose): void {
    controls.target.copy(target);
    camera.position.copy(fromSpherical(offset)).add(target);
    half = wanted;
    orthographic.zoom = 1;
    applyFrustum();
    controls.update();
  }

  function goTo(to: Pose, glides: boolean): void {
    if (glides) glide = { from: pose(), to, start: performance.now() };
    else {
      glide = null;
      take(to);
    }
    moved();
  }

  function between({ from, to, start }: NonNullable<typeof glide>, now: number): Pose {
    const share = Math.min(1, Math.max(0, (now - start) / GLIDE));
    const f = share * share * (3 - 2 * share);
    const turn = Math.atan2(
      Math.sin(to.offset.theta - from.offset.theta),
      Math.cos(to.offset.theta - from.offset.theta),
    );
    const mix = (a: number, b: number) => a + f * (b - a);
    return {
      target: from.target.clone().lerp(to.target, f),
      offset: new Spherical(
        mix(from.offset.radius, to.offset.radius),
        mix(from.offset.phi, to.offset.phi),
        from.offset.theta + f * turn,
      ),
      half: mix(from.half, to.half),
    };
  }

  const sphere = new Sphere();
  return {
    get camera() {
      return camera;
    },
    pose,
    take,
    resize(w, h) {
      width = Math.max(1, w);
      height = Math.max(1, h);
      applyFrustum();
    },
    project(kind) {
      const next = kind === 'perspective' ? perspective : orthographic;
      if (next === camera) return;
      const now = pose();
      camera = next;
      controls.object = next;
      if (next === perspective) now.offset.radius = now.half / Math.tan(FOV / 2);
      take(now);
      moved();
    },
    show(view, points, glides) {
      const eye = eyeOf(view);
      const back = eye === null ? camera.position.clone().sub(controls.target).normalize() : new Vector3(...eye);
      const right = new Vector3().crossVectors(Z, back);
      if (right.lengthSq() < 1e-12) right.set(1, 0, 0);
      right.normalize();
      const up = new Vector3().crossVectors(back, right);
      const triple = (v: Vector3): Triple => [v.x, v.y, v.z];
      const axes = { back: triple(back), right: triple(right), up: triple(up) };
      const fit = fitPoints(points, axes, FOV, width / height);
      if (fit === null) return;
      const far = Math.max(fit.distance * MARGIN, 1);
      goTo(
        {
          target: new Vector3(...fit.target),
          offset: toSpherical(back.multiplyScalar(far)),
          half: camera === perspective ? halfHeight(far, FOV) : fit.half * MARGIN,
        },
        glides,
      );
    },
    approach(point, normal, size, glides) {
      const now = pose();
      const back = fromSpherical(now.offset).normalize();
      // Keeps the side that the eye is on unless the point looks away from it.
      if (back.dot(normal) < 0.35) back.addScaledVector(normal, 0.9).normalize();
      const wanted = Math.min(now.half, size);
      const far = wanted / Math.tan(FOV / 2);
      goTo({ target: point.clone(), offset: toSpherical(back.multiplyScalar(far)), half: wanted }, glides);
    },
    shift(by) {
      controls.target.add(by);
      camera.position.add(by);
      controls.update();
    },
    turn(azimuth, polar, nearer) {
      const now = pose();
      now.offset.theta += azimuth;
      now.offset.phi = Math.min(Math.PI - 1e-3, Math.max(1e-3, now.offset.phi + polar));
      now.offset.radius /= nearer;
      goTo({ ...now, half: now.half / nearer }, false);
    },
    settle(everything, now) {
      if (glide !== null) {
        const done = now - glide.start >= GLIDE;
        take(done ? glide.to : between(glide, now));
        if (done) glide = null;
      }
      if (!everything.isEmpty()) {
        everything.getBoundingSphere(sphere);
        const forward = controls.target.clone().sub(camera.position).normalize();
        const depth = sphere.center.clone().sub(camera.position).dot(forward);
        const radius = sphere.radius * 1.05 + 1;
        const far = depth + radius;
        camera.near = camera === perspective ? Math.max(depth - radius, Math.max(far, 1) * 2e-3) : depth - radius;
        camera.far = Math.max(far, camera.near + 1);
        camera.updateProjectionMatrix();
      }
      camera.updateMatrixWorld();
      return glide !== null;
    },
    screen() {
      camera.updateMatrixWorld();
      const matrix = camera.projectionMatrix.clone().multiply(camera.matrixWorldInverse);
      return { matrix: matrix.elements, width, height };
    },
    dispose() {
      controls.removeEventListener('change', moved);
      controls.dispose();
    },
  };
}
