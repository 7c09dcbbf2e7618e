import { describe, expect, it } from 'vitest';
import type { Body, Part } from '../../../src/model/part.ts';
import { buildSceneView } from '../../../src/output/view/build-scene-view.ts';
import { sceneBuffers } from '../../../src/output/view/view-buffers.ts';

/** A square far from the origin, with its border as one edge. */
function square(name: string, index: number, x: number): Body {
  const position = Float64Array.of(x, 0, 0, x + 10, 0, 0, x + 10, 10, 0, x, 10, 0.001);
  return {
    name,
    index,
    position,
    triangle: Uint32Array.of(0, 1, 2, 0, 2, 3),
    faceOfTriangle: Uint32Array.of(0, 0),
    faces: [{ firstTriangle: 0, triangleCount: 2 }],
    edges: [
      {
        id: `${name}:0`,
        faces: [0, -1],
        vertex: Uint32Array.of(0, 1, 2, 3),
        closed: true,
        length: 40,
        dihedral: [Number.NaN, Number.NaN],
      },
    ],
    openEdges: 4,
    noise: 1e-6,
  };
}

const partOf = (bodies: readonly Body[]): Part => ({
  file: 'far.step',
  format: 'step',
  sha256: '',
  bodies,
  notes: [{ code: 'open-edges', sentence: 'It is open.' }],
  linearDeflection: 0.01,
  angularDeflection: 0.1,
});

describe('the view of a scene', () => {
  const part = partOf([square('a', 0, 1e6), square('b', 1, 1e6 + 90)]);

  it('keeps a hundredth of a millimetre a kilometre away, for its centre is taken off first', () => {
    const scene = buildSceneView([part], false);
    expect(scene.centre).toEqual([1e6 + 50, 5, 0.0005]);
    expect(scene.low).toEqual([-50, -5, -0.0005]);
    expect(scene.bodies[0].position[11]).toBeCloseTo(0.0005, 9);
    expect(scene.bodies[1].position[0]).toBe(40);
  });

  it('names bodies by file and place, closes edges, and says where there is no angle', () => {
    const scene = buildSceneView([part], true);
    expect(scene).toMatchObject({ coarse: true, notes: [{ file: 'far.step', code: 'open-edges' }] });
    expect(scene.bodies.map(({ key }) => key)).toEqual(['far.step#0', 'far.step#1']);
    const [{ edges }] = scene.bodies;
    expect(edges[0].position).toHaveLength(15);
    expect(edges[0].position.slice(12)).toEqual(edges[0].position.slice(0, 3));
    expect(edges[0].dihedral).toBeNull();
  });

  it('keeps the centre before as long as it lies within the parts', () => {
    expect(buildSceneView([part], false, [1e6 + 20, 3, 0]).centre).toEqual([1e6 + 20, 3, 0]);
    expect(buildSceneView([part], false, [0, 0, 0]).centre).toEqual([1e6 + 50, 5, 0.0005]);
    expect(buildSceneView([], false, [0, 0, 0]).bodies).toEqual([]);
  });

  it('can be handed away without harm to the parts', () => {
    const scene = buildSceneView([part], false);
    structuredClone(scene, { transfer: [...new Set(sceneBuffers(scene))] as ArrayBuffer[] });
    expect(part.bodies[0].triangle).toHaveLength(6);
    expect(part.bodies[0].position).toHaveLength(12);
  });
});
