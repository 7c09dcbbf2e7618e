// The buffers of a view that belong to it alone: they can be moved to another thread instead of copied. Tracks, windows and findings
// are still the plan's own.
import type { PlanView, SceneView } from './plan-view.ts';

export function sceneBuffers({ bodies }: SceneView): ArrayBufferLike[] {
  return bodies.flatMap((body) =>
    [body.position, body.triangle, body.faceOfTriangle, ...body.edges.map((edge) => edge.position)].map(
      (array) => array.buffer,
    ),
  );
}

export function planBuffers({ seams }: PlanView): ArrayBufferLike[] {
  return seams.flatMap((seam) => {
    const { s, time, phase, beam, joint, tcp, head, entry, normal, tangent, axis, spotRadius, ribbon, arm } = seam;
    const ofRibbon =
      ribbon === null
        ? []
        : [
            ribbon.offset,
            ribbon.s,
            ribbon.stationOfRow,
            ribbon.position,
            ...ribbon.quantities.map((quantity) => quantity.values),
          ];
    const arrays = [
      ...[s, time, phase, beam, joint, tcp, head, entry, normal, tangent, axis, spotRadius],
      ...[...seam.columns, ...seam.margins].map((column) => column.values),
      ...ofRibbon,
      ...(arm === null ? [] : [arm.frame]),
    ];
    return arrays.map((array) => array.buffer);
  });
}
