import { describe, expect, it } from 'vitest';
import { fileTitle } from '../../../src/app/files/hand-over.ts';
import { jobText, namedFiles, usedFiles } from '../../../src/app/files/job-text.ts';
import { guessRole } from '../../../src/app/store/part-guesses.ts';

describe('names', () => {
  it('of titles are fit for any file system', () => {
    expect(fileTitle('Wave pod, rim "A" / nominal')).toBe('wave-pod-rim-a-nominal');
    expect(fileTitle('Gehäuse Ø 40')).toBe('gehause-40');
    expect(fileTitle('../..')).toBe('untitled');
  });

  it.each([
    ['lid', 'transmissive'],
    ['Front_Cover-02.step', 'transmissive'],
    ['tub', 'absorbing'],
    ['sensorHousing', 'absorbing'],
    ['wave-pod-clamp.stl', 'tooling'],
    ['clamp for lid', 'tooling'],
    ['capacitor', undefined],
    ['solid 1', undefined],
  ])('of parts: %j is %s', (name, role) => {
    expect(guessRole(name)).toBe(role);
  });
});

describe('the files of a job', () => {
  const job = {
    parts: [{ file: 'a.step', body: 'x' }, { file: 'a.step', body: 'y' }, { file: 'c.stl' }],
    arm: { model: { kind: 'urdf', file: 'arm.urdf' } },
  };

  it('are those that it names, each once, and only those at hand are saved with it', () => {
    expect(namedFiles(job)).toEqual(['a.step', 'c.stl', 'arm.urdf']);
    const files = new Map([
      ['arm.urdf', Uint8Array.of(1)],
      ['old.step', Uint8Array.of(2)],
      ['a.step', Uint8Array.of(3)],
    ]);
    expect(usedFiles(job, files).map(({ name }) => name)).toEqual(['a.step', 'arm.urdf']);
  });

  it('is text that reads back as the same job', () => {
    expect(JSON.parse(jobText(job))).toEqual(job);
    expect(jobText(job).endsWith('}\n')).toBe(true);
  });
});
