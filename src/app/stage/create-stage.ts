// The stage: one canvas with all that is drawn on it. Told what to show, it draws when something changed, once a frame at most.
import { AmbientLight, Box3, DirectionalLight, HemisphereLight, Scene, Vector3 } from 'three';
import type { PlanView, SceneView } from '../../output/view/plan-view.ts';
import type { ViewSlice } from '../store/state.ts';
import type { BodyRole } from './body-look.ts';
import { type CameraRig, createCameraRig, type Pose } from './camera-rig.ts';
import type { StageBody } from './create-body.ts';
import { createFaceHighlight, type FaceHighlight } from './face-highlight.ts';
import { createGround } from './create-ground.ts';
import { createGroundShadow } from './ground-shadow.ts';
import { createPicker, type Picker } from './create-picker.ts';
import { createRenderer } from './create-renderer.ts';
import { createTriad } from './create-triad.ts';
import { createEdgeHighlight } from './edge-highlight.ts';
import { createLabelLayer } from './label-layer.ts';
import type { MeasurePoint } from './measure.ts';
import { createMeasureLines } from './measure-lines.ts';
import { createStageBodies } from './stage-bodies.ts';
import { stageLabels } from './stage-labels.ts';
import { createStageSeams, type StageSeams } from './stage-seams.ts';
import { readTheme, watchTheme } from './theme.ts';

export interface StageState
  extends Pick<
    ViewSlice,
    'seam' | 'row' | 'colourBy' | 'hoverEdge' | 'tool' | 'projection' | 'section' | 'show' | 'viewRequest' | 'finding'
  > {
  readonly scene: SceneView | null;
  readonly plan: PlanView | null;
  readonly stale: boolean;
  /** Changes whenever roles may have. */
  readonly roles: unknown;
  readonly roleOf: (body: StageBody) => BodyRole;
  readonly measured: readonly MeasurePoint[];
}

export interface StageOptions {
  /** No antialiasing and one pixel a point: for slow machines and tests. */
  readonly plain: boolean;
  /** Views glide unless the person wants no motion. */
  readonly glide: () => boolean;
  /** The browser took the graphics away: nothing can be drawn here any more. It may give new ones, on a new canvas. */
  readonly lost: () => void;
  readonly returned: () => void;
  /** Where the eye stands at first; else from the corner. */
  readonly pose: Pose | null;
  readonly goToFinding: (finding: number, seam: number, row: number) => void;
}

export interface Stage {
  readonly canvas: HTMLCanvasElement;
  readonly rig: CameraRig;
  readonly picker: Picker;
  readonly seams: StageSeams;
  readonly bodies: readonly StageBody[];
  /** The face that would be picked. */
  readonly face: FaceHighlight;
  update(next: StageState): void;
  /** Asks for a picture; `before` runs at its beginning. */
  redraw(before?: () => void): void;
  /** Gives everything back but the canvas, which may still be told that the graphics are there again. */
  dispose(): void;
}

/** Pixels a point at most: more costs time and shows nothing. */
const MOST_PIXELS = 2;

/** Null where the browser has no WebGL. `host` is filled by the canvas; labels go over it. */
/** Corners of a box, 3 x 8; none of an empty one. */
function cornersOf({ min, max }: Box3): readonly number[] {
  if (min.x > max.x) return [];
  return [min.x, max.x].flatMap((x) => [min.y, max.y].flatMap((y) => [min.z, max.z].flatMap((z) => [x, y, z])));
}

export function createStage(host: HTMLElement, options: StageOptions): Stage | null {
  const canvas = document.createElement('canvas');
  const renderer = createRenderer(canvas, options.plain);
  if (renderer === null) return null;
  canvas.className = 'stage-canvas';
  host.append(canvas);

  const world = new Scene();
  const rig = createCameraRig(canvas, () => redraw());
  const bodies = createStageBodies(() => {
    shaded = false;
    redraw();
  });
  const seams = createStageSeams();
  const edges = createEdgeHighlight();
  const face = createFaceHighlight();
  const ground = createGround();
  const measureLines = createMeasureLines();
  const labels = createLabelLayer(host);
  const triad = createTriad(host);
  const shadow = options.plain ? null : createGroundShadow();
  let shaded = false;
  const sun = new DirectionalLight(0xffffff, 2.1);
  const fill = new DirectionalLight(0xffffff, 0.5);
  const sky = new HemisphereLight(0xffffff, 0xb9b2a6, 1.1);
  sky.position.set(0, 0, 1);
  world.add(ground.object, bodies.object, seams.object, edges.object, face.object, measureLines.object);
  world.add(sun, sun.target, fill, fill.target, sky, new AmbientLight(0xffffff, 0.25));
  const picker = createPicker(
    rig,
    () => bodies.list,
    () => bodies.plane,
  );

  let state: StageState | null = null;
  let frame = 0;
  let fitted = options.pose !== null;
  if (options.pose !== null) rig.take(options.pose);
  const everything = new Box3();
  let before: (() => void)[] = [];

  function redraw(first?: () => void): void {
    if (first !== undefined) before.push(first);
    if (frame === 0) frame = requestAnimationFrame(draw);
  }

  function draw(now: number): void {
    frame = 0;
    const waiting = before;
    before = [];
    for (const task of waiting) task();
    everything.copy(bodies.box).union(seams.box);
    if (ground.object.visible) everything.expandByObject(ground.object);
    const glides = rig.settle(everything, now);
    light();
    if (!shaded) castShadow();
    renderer?.render(world, rig.camera);
    triad.draw(rig.camera);
    labels.draw(rig.screen(), (point) => picker.isHidden(point, 0.6));
    if (glides) redraw();
  }

  /** Parts throw a shadow, tooling does not: it would hide theirs. */
  function castShadow(): void {
    shaded = true;
    const parts = bodies.list.flatMap(({ role, geometry }) =>
      role === 'tooling' || geometry === null ? [] : [geometry],
    );
    if (shadow === null || renderer === null || parts.length === 0) return;
    const { middle, half } = shadow.cast(renderer, parts, bodies.box);
    renderer.setClearColor(readTheme(document.documentElement).paper);
    ground.shade(shadow.texture, middle, half);
  }

  /** Light from above and left of the person, a little from the right below. */
  function light(): void {
    const { camera } = rig;
    for (const [lamp, x, y, z] of [
      [sun, -0.55, 0.85, 0.75],
      [fill, 0.9, -0.15, 0.4],
    ] as const) {
      lamp.position.set(x, y, z).transformDirection(camera.matrixWorld).multiplyScalar(1000);
    }
  }

  function recolour(): void {
    const theme = readTheme(document.documentElement);
    renderer?.setClearColor(theme.paper);
    for (const part of [seams, edges, face, ground, measureLines]) part.recolour(theme);
    if (state !== null) bodies.dress(state.roleOf, theme);
    shaded = false;
    redraw();
  }

  function resize(): void {
    const { clientWidth: width, clientHeight: height } = host;
    if (width === 0 || height === 0) return;
    renderer?.setPixelRatio(options.plain ? 1 : Math.min(MOST_PIXELS, devicePixelRatio));
    renderer?.setSize(width, height, false);
    rig.resize(width, height);
    // A cleared canvas must not be seen: draw at once.
    if (frame !== 0) cancelAnimationFrame(frame);
    draw(performance.now());
  }

  function setScene(next: StageState, last: StageState | null): void {
    const was = last?.scene ?? null;
    bodies.setScene(next.scene);
    bodies.dress(next.roleOf, readTheme(document.documentElement));
    bodies.cut(next.section);
    ground.place(bodies.box);
    if (next.scene === null) fitted = false;
    else if (!fitted || (was !== null && !isAlike(was, next.scene))) {
      rig.show('corner', shownPoints(), false);
      fitted = true;
    } else if (was !== null) {
      const from = new Vector3(...was.centre);
      rig.shift(from.sub(new Vector3(...next.scene.centre)));
    }
  }

  /** Edges say where bodies reach; a body without any has its vertices. */
  function shownPoints(): readonly ArrayLike<number>[] {
    const bodyPoints = ({ view }: StageBody) =>
      view.edges.length > 0 ? view.edges.map((edge) => edge.position) : [view.position];
    const visible = bodies.list.filter((body) => body.object.visible);
    return (visible.length > 0 ? visible : bodies.list).flatMap(bodyPoints);
  }

  function goTo({ viewRequest: { view }, plan, seam, row }: StageState): void {
    if (view !== 'cursor') {
      // Everything: head and arm too, where they are shown.
      const points = view === 'fit' ? [...shownPoints(), cornersOf(seams.box)] : shownPoints();
      rig.show(view, points, options.glide());
      return;
    }
    const cursor = plan?.seams[seam];
    if (cursor === undefined || row >= cursor.count) return;
    const point = new Vector3().fromArray(cursor.joint, 3 * row).add(seams.object.position);
    const normal = new Vector3().fromArray(cursor.normal, 3 * row);
    rig.approach(point, normal, Math.max(10 * cursor.width, cursor.length / 16), options.glide());
  }

  function update(next: StageState): void {
    const last = state;
    state = next;
    const changed = (...keys: readonly (keyof StageState)[]) =>
      last === null || keys.some((key) => last[key] !== next[key]);
    if (changed('scene')) setScene(next, last);
    else if (changed('roles')) {
      bodies.dress(next.roleOf, readTheme(document.documentElement));
      shaded = false;
    }
    if (changed('scene', 'show')) bodies.show(next.show);
    if (changed('section')) bodies.cut(next.section);
    if (changed('scene', 'plan', 'seam', 'colourBy')) {
      seams.setPlan(next.plan, next.seam, next.colourBy, next.scene?.centre ?? null);
    }
    if (changed('scene', 'plan', 'seam', 'row', 'show')) seams.setCursor(next.row, next.show);
    if (changed('stale')) seams.dim(next.stale);
    if (changed('scene', 'plan', 'seam', 'hoverEdge', 'tool')) {
      const picked = next.tool === 'pick-edge' ? (next.plan?.seams[next.seam]?.edgeIds ?? []) : [];
      edges.update(next.scene, next.hoverEdge, picked);
    }
    if (changed('measured')) measureLines.update(next.measured);
    if (changed('scene', 'plan', 'seam', 'row', 'colourBy', 'finding', 'measured', 'tool')) {
      // The tag at the pointer says the value already while one probes.
      const quantity = next.tool === 'probe' ? null : (seams.quantities[next.seam] ?? null);
      const { position: origin } = seams.object;
      labels.set(stageLabels({ ...next, quantity, origin }, options.goToFinding));
    }
    if (changed('projection')) rig.project(next.projection);
    if (last !== null && last.viewRequest !== next.viewRequest) goTo(next);
    redraw();
  }

  const onLost = (event: Event) => {
    // Without this the browser would give no new context.
    event.preventDefault();
    options.lost();
  };
  canvas.addEventListener('webglcontextlost', onLost);
  canvas.addEventListener('webglcontextrestored', options.returned);
  const observer = new ResizeObserver(resize);
  observer.observe(host);
  const unwatch = watchTheme(recolour);
  recolour();

  return {
    canvas,
    rig,
    picker,
    seams,
    face,
    get bodies() {
      return bodies.list;
    },
    update,
    redraw,
    dispose() {
      cancelAnimationFrame(frame);
      observer.disconnect();
      unwatch();
      canvas.removeEventListener('webglcontextlost', onLost);
      shadow?.dispose();
      for (const part of [bodies, seams, edges, face, ground, measureLines, labels, triad, rig, renderer])
        part.dispose();
    },
  };
}

/** Much the same parts: of one file at least, and no more than twice or less than half as large. */
function isAlike(a: SceneView, b: SceneView): boolean {
  const size = ({ low, high }: SceneView) => Math.hypot(high[0] - low[0], high[1] - low[1], high[2] - low[2]);
  const ratio = size(a) / size(b);
  return ratio > 0.5 && ratio < 2 && a.bodies.some((body) => b.bodies.some((other) => other.file === body.file));
}
