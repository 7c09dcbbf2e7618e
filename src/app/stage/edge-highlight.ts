// Edges that stand out: the one under the pointer with what a click would take along, and those of the seam as it is selected.
import { Group } from 'three';
import type { BodyView, SceneView } from '../../output/view/plan-view.ts';
import { createFatLines } from './fat-lines.ts';
import { followChain } from './follow-chain.ts';
import type { StageTheme } from './theme.ts';

export interface EdgeHighlight {
  readonly object: Group;
  /** Id of the edge under the pointer or chosen in a list, and ids of the edges of the seam. */
  update(scene: SceneView | null, hovered: string | null, picked: readonly string[]): void;
  recolour(theme: StageTheme): void;
  dispose(): void;
}

/** Body and index of an edge by its id. */
function findEdge(scene: SceneView, id: string): { readonly body: BodyView; readonly edge: number } | null {
  for (const body of scene.bodies) {
    const edge = body.edges.findIndex((candidate) => candidate.id === id);
    if (edge >= 0) return { body, edge };
  }
  return null;
}

export function createEdgeHighlight(): EdgeHighlight {
  const object = new Group();
  const hover = createFatLines({ linewidth: 4.5, opacity: 0.99, depthTest: false, renderOrder: 16 });
  const along = createFatLines({ linewidth: 2.5, opacity: 0.75, depthTest: false, renderOrder: 15 });
  const picked = createFatLines({ linewidth: 2.5, opacity: 0.9, renderOrder: 14 });
  object.add(hover.object, along.object, picked.object);
  return {
    object,
    update(scene, hovered, pickedIds) {
      const found = scene === null || hovered === null ? null : findEdge(scene, hovered);
      const chain = found === null ? [] : followChain(found.body.edges, found.edge);
      const edges = found?.body.edges ?? [];
      hover.setChains(chain.slice(0, 1).map((k) => edges[k].position));
      along.setChains(chain.slice(1).map((k) => edges[k].position));
      const wanted = new Set(pickedIds);
      picked.setChains(
        (scene?.bodies ?? []).flatMap((body) =>
          body.edges.filter(({ id }) => wanted.has(id)).map((edge) => edge.position),
        ),
      );
    },
    recolour(theme) {
      for (const lines of [hover, along, picked]) lines.material.color.copy(theme.light);
    },
    dispose() {
      for (const lines of [hover, along, picked]) lines.dispose();
    },
  };
}
