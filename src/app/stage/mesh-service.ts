// Has bodies prepared in a worker; where none can be started, here, one a turn of the event loop.
import type { BodyView } from '../../output/view/plan-view.ts';
import { buildHierarchy, type SerializedHierarchy } from './prepare-mesh.ts';
import { type SplitMesh, splitFaces } from './split-faces.ts';

export interface ToMeshWorker {
  readonly job: number;
  readonly bodies: readonly Pick<BodyView, 'position' | 'triangle' | 'faceOfTriangle'>[];
}

export type FromMeshWorker =
  | { readonly kind: 'mesh'; readonly job: number; readonly body: number; readonly mesh: SplitMesh }
  | {
      readonly kind: 'hierarchy';
      readonly job: number;
      readonly body: number;
      readonly hierarchy: SerializedHierarchy;
    };

export interface MeshService {
  /** Prepares these; what was asked for before is no longer told of. */
  prepare(bodies: readonly BodyView[]): void;
  dispose(): void;
}

export function createMeshService(told: (news: FromMeshWorker) => void): MeshService {
  let job = 0;
  let worker: Worker | null = null;
  let waiting: readonly BodyView[] = [];
  const hear = (news: FromMeshWorker) => {
    if (news.job === job) told(news);
  };

  async function prepareHere(bodies: readonly BodyView[], own: number): Promise<void> {
    for (const [body, { position, triangle, faceOfTriangle }] of bodies.entries()) {
      await new Promise((resolve) => setTimeout(resolve));
      if (own !== job) return;
      const mesh = splitFaces(position, triangle, faceOfTriangle);
      hear({ kind: 'mesh', job: own, body, mesh });
      await new Promise((resolve) => setTimeout(resolve));
      hear({ kind: 'hierarchy', job: own, body, hierarchy: buildHierarchy(mesh) });
    }
  }

  function start(): Worker {
    const made = new Worker(new URL('./mesh-worker.ts', import.meta.url), { type: 'module' });
    made.onmessage = ({ data }: MessageEvent<FromMeshWorker>) => hear(data);
    made.onerror = () => {
      made.terminate();
      worker = null;
      void prepareHere(waiting, job);
    };
    return made;
  }

  return {
    prepare(bodies) {
      job += 1;
      waiting = bodies;
      worker ??= start();
      const plain = bodies.map(({ position, triangle, faceOfTriangle }) => ({ position, triangle, faceOfTriangle }));
      worker.postMessage({ job, bodies: plain } satisfies ToMeshWorker);
    },
    dispose() {
      job += 1;
      worker?.terminate();
    },
  };
}
