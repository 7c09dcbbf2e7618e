// Prepares bodies off the screen's thread: each first to be drawn, then to be picked.
import { buildHierarchy } from './prepare-mesh.ts';
import type { FromMeshWorker, ToMeshWorker } from './mesh-service.ts';
import { splitFaces } from './split-faces.ts';

const scope = self as unknown as {
  onmessage: ((event: MessageEvent<ToMeshWorker>) => void) | null;
  postMessage(message: FromMeshWorker, transfer: Transferable[]): void;
};

scope.onmessage = ({ data: { job, bodies } }) => {
  const meshes = bodies.map(({ position, triangle, faceOfTriangle }) => splitFaces(position, triangle, faceOfTriangle));
  meshes.forEach((mesh, body) => {
    // Copies go out: the hierarchies are built from what stays.
    const copy = { position: mesh.position.slice(), normal: mesh.normal.slice(), index: mesh.index.slice() };
    const transfer = [copy.position.buffer, copy.normal.buffer, copy.index.buffer];
    scope.postMessage({ kind: 'mesh', job, body, mesh: { ...mesh, ...copy } }, transfer);
  });
  meshes.forEach((mesh, body) => {
    const hierarchy = buildHierarchy(mesh);
    scope.postMessage({ kind: 'hierarchy', job, body, hierarchy }, hierarchy.roots);
  });
};
