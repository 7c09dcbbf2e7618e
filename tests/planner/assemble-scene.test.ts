import { describe, expect, it } from 'vitest';
import type { Part } from '../../src/model/part.ts';
import { placeBodies } from '../../src/planner/assemble-scene.ts';
import { plainJob } from '../checks/plain-job.ts';

const partOf = (file: string, sha256: string) =>
  ({ file, sha256, bodies: ['lid', 'tub'].map((name, index) => ({ name, index })) }) as unknown as Part;
const jobWith = (...named: readonly [string, string, number][]) =>
  plainJob({
    parts: named.map(([file, body, unitScale]) => ({ file, body, unitScale, role: 'absorbing', material: '' })),
  });

describe('placeBodies', () => {
  it('finds bodies by name and by number', () => {
    const job = jobWith(['pod.step', 'tub', 0], ['pod.step', '#0', 0]);
    expect(placeBodies(job, [partOf('pod.step', 'aa')], 'x.job.json')).toEqual([
      { part: 0, body: 1 },
      { part: 0, body: 0 },
    ]);
  });

  it('knows a body again by its name and number, under another spelling of its file, and in a copy of it', () => {
    const parts = [partOf('pod.step', 'aa'), partOf('./pod.step', 'aa'), partOf('copy.step', 'aa')];
    for (const file of ['pod.step', './pod.step', 'copy.step']) {
      const job = jobWith(['pod.step', 'tub', 0], [file, '#1', 0]);
      expect(() => placeBodies(job, parts, 'x.job.json')).toThrow(
        'body-twice: parts 0 and 1 are the same body (x.job.json#/parts/1)',
      );
    }
  });

  it('tells apart what has another content or another unit', () => {
    const parts = [partOf('pod.stl', 'aa'), partOf('other.stl', 'bb'), partOf('inch.stl', 'aa')];
    const job = jobWith(['pod.stl', 'tub', 1], ['other.stl', 'tub', 1], ['inch.stl', 'tub', 25.4]);
    expect(placeBodies(job, parts, 'x.job.json').map(({ part }) => part)).toEqual([0, 1, 2]);
  });
});
