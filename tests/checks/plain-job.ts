// A job and a seam record that nothing is wrong with, around the records of a plain seam.
import type { Job } from '../../src/model/job.ts';
import type { Path } from '../../src/model/path.ts';
import type { Seam } from '../../src/model/seam.ts';
import { LIMITS, OPTICS, SEAM } from '../motion/plain-seam.ts';

export function plainJob(changes: Partial<Job> = {}): Job {
  const clear = {
    id: 'pc-clear',
    title: 'PC, clear',
    index: 1.565,
    transmittance: { value: 0.88, thickness: 3 },
    scattering: false,
  };
  return {
    title: 'Pod, rim seam',
    parts: [
      { file: 'pod.step', body: 'lid', role: 'transmissive', material: 'pc-clear', unitScale: 0 },
      { file: 'pod.step', body: 'tub', role: 'absorbing', material: 'pc-black', unitScale: 0 },
      { file: 'clamp.stl', body: '', role: 'tooling', material: '', unitScale: 1 },
    ],
    tessellation: { linear: 0.01, angular: 0.1, maxTriangles: 1_000_000 },
    search: null,
    placement: { position: [0, 0, 0], rotation: [0, 0, 0] },
    seams: [SEAM],
    optics: OPTICS,
    layer: null,
    materials: new Map([[clear.id, clear]]),
    pairs: new Map(),
    limits: LIMITS,
    carrier: null,
    approach: 50,
    ...changes,
  };
}

export function plainSeam(path: Path): Seam {
  return {
    name: 'rim',
    curve: { pieces: [], closed: path.closed, length: path.length },
    corners: [],
    kinks: [],
    faces: [{ from: 0, ref: { part: 1, face: 0 } }],
    edgeIds: ['tub:0-1'],
    blends: [],
    fingerprint: { length: 0, closed: true, points: [] },
    match: { kind: 'none', distance: 0, why: '' },
    faceChoice: 'covered',
    fit: { points: 100, largest: 1e-6, rms: 1e-7, at: 0 },
  };
}
