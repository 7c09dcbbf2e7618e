// All bodies of the scene: built when geometry comes, dressed by role, cut by the section plane.
import { Box3, Group, Plane, Vector3 } from 'three';
import type { SceneView } from '../../output/view/plan-view.ts';
import type { ViewSlice } from '../store/state.ts';
import type { BodyRole } from './body-look.ts';
import { createBody, type StageBody } from './create-body.ts';
import { createMeshService } from './mesh-service.ts';
import type { StageTheme } from './theme.ts';

export interface StageBodies {
  readonly object: Group;
  readonly list: readonly StageBody[];
  /** Extremes of all bodies; empty without any. */
  readonly box: Box3;
  readonly plane: Plane | null;
  setScene(scene: SceneView | null): void;
  dress(roleOf: (body: StageBody) => BodyRole, theme: StageTheme): void;
  show(shown: Pick<ViewSlice['show'], 'tooling' | 'edges'>): void;
  cut(section: ViewSlice['section']): void;
  dispose(): void;
}

/** The half that goes is the one towards the corner view, so that the cut faces the person. */
const KEEPS: Readonly<Record<'x' | 'y' | 'z', Vector3>> = {
  x: new Vector3(1, 0, 0),
  y: new Vector3(0, 1, 0),
  z: new Vector3(0, 0, -1),
};

export function createStageBodies(changed: () => void): StageBodies {
  const object = new Group();
  const box = new Box3();
  let list: StageBody[] = [];
  /** Of the scene before, until the new bodies can be drawn. */
  let leaving: StageBody[] = [];
  let plane: Plane | null = null;
  let shown: Pick<ViewSlice['show'], 'tooling' | 'edges'> = { tooling: true, edges: true };
  const service = createMeshService((news) => {
    const body = list[news.body];
    if (body === undefined) return;
    if (news.kind === 'hierarchy') body.setHierarchy(news.hierarchy);
    else {
      body.setMesh(news.mesh);
      if (news.body === list.length - 1) leave();
    }
    changed();
  });

  function leave(): void {
    for (const body of leaving) body.dispose();
    leaving = [];
    show();
  }

  function show(): void {
    for (const body of list) {
      const wanted = shown.tooling || (body.role !== 'tooling' && body.role !== 'clear-clamp');
      body.show(wanted && leaving.length === 0, shown.edges);
    }
  }

  return {
    object,
    box,
    get list() {
      return list;
    },
    get plane() {
      return plane;
    },
    setScene(scene) {
      leave();
      leaving = list;
      list = (scene?.bodies ?? []).map(createBody);
      for (const body of list) object.add(body.object);
      show();
      if (scene === null || list.length === 0) {
        leave();
        box.makeEmpty();
      } else box.set(new Vector3(...scene.low), new Vector3(...scene.high));
      service.prepare(list.map((body) => body.view));
    },
    dress(roleOf, theme) {
      for (const body of list) body.dress(roleOf(body), theme);
      show();
    },
    show(next) {
      shown = next;
      show();
    },
    cut(section) {
      if (section === null) plane = null;
      else {
        const normal = KEEPS[section.axis];
        plane = new Plane(normal.clone(), section.axis === 'z' ? section.at : -section.at);
      }
      list.forEach((body, k) => {
        body.cut(plane, k);
      });
    },
    dispose() {
      service.dispose();
      leave();
      for (const body of list) body.dispose();
    },
  };
}
