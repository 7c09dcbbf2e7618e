import { describe, expect, it } from 'vitest';
import { followChain } from '../../../src/app/stage/follow-chain.ts';
import { ASSUMED_PROCESS, partOf, roleOf, selectionEdits } from '../../../src/app/stage/select-seam.ts';
import type { JobDraft } from '../../../src/app/store/state.ts';
import type { BodyView, EdgeView, SceneView } from '../../../src/output/view/plan-view.ts';

const edge = (id: string, position: readonly number[], closed = false): EdgeView => ({
  id,
  length: 1,
  closed,
  dihedral: [90, 90],
  position: Float32Array.from(position),
});

const body = (name: string, index: number, file = 'pod.step'): BodyView => ({
  key: `${file}#${index}`,
  file,
  name,
  index,
  position: new Float32Array(0),
  triangle: new Uint32Array(0),
  faceOfTriangle: new Uint32Array(0),
  edges: [],
});

const sceneOf = (bodies: readonly BodyView[]): SceneView => ({
  centre: [10, 20, 30],
  low: [0, 0, 0],
  high: [1, 1, 1],
  bodies,
  coarse: false,
  notes: [],
});

describe('edges that a pick takes along', () => {
  const straight = edge('b:1-2', [0, 0, 0, 10, 0, 0]);

  it('goes on over smooth ends both ways, whichever way round the neighbours run', () => {
    const on = edge('b:1-3', [20, 0.3, 0, 10, 0, 0]);
    const back = edge('b:1-4', [-10, 0, 0, 0, 0, 0]);
    const corner = edge('b:1-5', [20, 0.3, 0, 20, 10, 0]);
    expect(followChain([straight, on, back, corner], 0).sort()).toEqual([0, 1, 2]);
  });

  it('of two smooth ways takes the one along the same face', () => {
    const other = edge('b:7-8', [10, 0, 0, 20, 0, 0]);
    const same = edge('b:1-9', [10, 0, 0, 20, 0.5, 0]);
    expect(followChain([straight, other, same], 0)).toEqual([0, 2]);
  });

  it('takes a closed edge alone, and ends where the round is closed', () => {
    expect(followChain([edge('b:1-2', [0, 0, 0, 1, 0, 0, 0, 0, 0], true), straight], 0)).toEqual([0]);
    const arc = (from: number): EdgeView =>
      edge(
        `b:1-${from}`,
        Array.from({ length: 31 }, (_, k) => {
          // The same point has the same number in both arcs.
          const a = (Math.PI * ((from + 4 * k) % 360)) / 180;
          return [Math.cos(a), Math.sin(a), 0];
        }).flat(),
      );
    expect(followChain([arc(0), arc(120), arc(240)], 1).sort()).toEqual([0, 1, 2]);
  });
});

describe('what a pick writes into the job', () => {
  const lid = body('lid', 0);
  const tub = body('tub', 1);
  const scene = sceneOf([lid, tub]);
  const job: JobDraft = {
    parts: [
      { file: 'pod.step', body: 'lid', role: 'transmissive' },
      { file: 'pod.step', body: '#1', role: 'absorbing' },
    ],
    seams: [{ name: 'rim', select: { edges: ['tub:1-2'] } }],
    process: { speed_mm_s: 20, line_energy_J_mm: 0.5 },
  };

  it('names the body and gives the point in the part frame', () => {
    expect(selectionEdits(job, scene, 0, { kind: 'edge', body: tub, point: [1.00004, 2, 3] })).toEqual([
      { pointer: '/seams/0/select', value: { edge: { body: 'tub', near_mm: [11, 22, 33], follow: 'tangent' } } },
    ]);
    expect(selectionEdits(job, scene, 0, { kind: 'band', body: tub, point: [0, 0, 0] })).toEqual([
      { pointer: '/seams/0/select', value: { band: { body: 'tub', near_mm: [10, 20, 30], follow: 'tangent' } } },
    ]);
  });

  it('makes a first seam, with a process that is marked as assumed, where the job has none', () => {
    const edits = selectionEdits({ parts: [] }, scene, 0, { kind: 'edge', body: tub, point: [0, 0, 0] });
    expect(edits[0].pointer).toBe('/seams');
    expect(edits[1]).toEqual({ pointer: '/process', value: ASSUMED_PROCESS });
    const half = selectionEdits({ seams: [], process: { speed_mm_s: 9 } }, scene, 0, {
      kind: 'edge',
      body: tub,
      point: [0, 0, 0],
    });
    expect(half.slice(1)).toEqual([{ pointer: '/process/line_energy_J_mm', value: 0.35 }]);
  });

  it('calls a body by its position where its name does not tell it from others', () => {
    const twins = sceneOf([body('half', 0), body('half', 1)]);
    const [edit] = selectionEdits(job, twins, 0, { kind: 'edge', body: twins.bodies[1], point: [0, 0, 0] });
    expect(edit.value).toMatchObject({ edge: { body: '#1' } });
  });

  it('finds the role of a body by name, by position, and in a file of one body by the file alone', () => {
    expect(roleOf(job, scene, lid)).toBe('transmissive');
    expect(roleOf(job, scene, tub)).toBe('absorbing');
    expect(roleOf(job, sceneOf([lid, body('clamp', 0, 'clamp.stl')]), body('clamp', 0, 'clamp.stl'))).toBeNull();
    expect(partOf({ parts: [{ file: 'clamp.stl' }] }, body('x', 0, 'clamp.stl'), 1)).toBe(0);
    expect(partOf({ parts: [{ file: 'clamp.stl' }] }, body('x', 0, 'clamp.stl'), 2)).toBe(-1);
  });
});
