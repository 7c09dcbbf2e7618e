import { zipSync } from 'fflate';
import { describe, expect, it, vi } from 'vitest';
import { packFiles } from '../../../src/worker/page/pack-files.ts';
import type { FromWorker, Opened, PageFile } from '../../../src/worker/page/protocol.ts';
import { sampleFile, sampleText, startService } from './service.ts';

vi.setConfig({ testTimeout: 120_000 });

const text = (name: string, content: string): PageFile => ({ name, bytes: new TextEncoder().encode(content) });
const JOB = sampleText('disc.job.json');

const service = startService();

async function open(...files: PageFile[]): Promise<Opened> {
  await service.take({ kind: 'open', request: 7, files });
  const answer = service.news().at(-1) as FromWorker;
  if (answer.kind !== 'opened') throw new Error('not opened');
  return answer.opened;
}

const refusal = async (...files: PageFile[]): Promise<string> => {
  const opened = await open(...files);
  return opened.how === 'refused' ? opened.error.code : opened.how;
};

describe('files that are opened', () => {
  it('of a saved job come back as they went in', async () => {
    const saved = [text('disc.job.json', JOB), sampleFile('disc.step'), text('notes/arm.urdf', '<robot/>')];
    await service.take({ kind: 'pack', request: 3, files: saved });
    const [packed] = service.news();
    if (packed?.kind !== 'packed') throw new Error('not packed');
    const opened = await open({ name: 'disc.raythread.zip', bytes: packed.bytes });
    expect(opened).toMatchObject({ how: 'job', name: 'disc.job.json', jobText: JOB });
    if (opened.how !== 'job') return;
    const files = new Map(opened.files.map((file) => [file.name, Buffer.from(file.bytes)]));
    expect([...files.keys()].sort()).toEqual(['disc.step', 'notes/arm.urdf']);
    expect(files.get('disc.step')?.equals(Buffer.from(sampleFile('disc.step').bytes))).toBe(true);
  });

  it('are packed into the same bytes each time', () => {
    const files = [text('a.json', '{}'), text('b.json', '[1]')];
    expect(Buffer.from(packFiles(files)).equals(Buffer.from(packFiles(files)))).toBe(true);
  });

  it('may lie in a folder of the archive, as a file manager packs them', async () => {
    const bytes = zipSync({
      'pod/disc.job.json': new TextEncoder().encode(JOB),
      'pod/disc.step': sampleFile('disc.step').bytes,
      '__MACOSX/pod/._disc.step': Uint8Array.of(0),
    });
    const opened = await open({ name: 'pod.zip', bytes });
    expect(opened).toMatchObject({ how: 'job', name: 'disc.job.json', files: [{ name: 'disc.step' }] });
  });

  it('are a job with its parts, or parts alone', async () => {
    expect(await open(text('disc.job.json', JOB), sampleFile('disc.step'))).toMatchObject({
      how: 'job',
      files: [{ name: 'disc.step' }],
    });
    expect(await open(sampleFile('disc.step'), sampleFile('wave-pod-clamp.stl'))).toMatchObject({
      how: 'parts',
      files: [{ name: 'disc.step' }, { name: 'wave-pod-clamp.stl' }],
    });
  });

  it('are refused as a whole where one of them cannot be read', async () => {
    const step = sampleFile('disc.step');
    const cut = { name: 'cut.step', bytes: step.bytes.slice(0, step.bytes.length / 2) };
    const zip = packFiles([text('disc.job.json', JOB), step]);
    expect(await refusal(step, cut)).toBe('step-unreadable');
    expect(await refusal(text('disc.job.json', JOB))).toBe('files-missing');
    expect(await refusal(text('disc.job.json', '{'), step)).toBe('job-json');
    expect(await refusal(text('package.json', '{"name":"x"}'))).toBe('job-format');
    expect(await refusal({ name: 'latin.json', bytes: Uint8Array.of(0xe9) })).toBe('job-encoding');
    expect(await refusal(text('a.json', JOB), text('b.json', JOB), step)).toBe('jobs-many');
    expect(await refusal(text('photo.jpg', 'nothing of the kind'))).toBe('format-unknown');
    expect(await refusal({ name: 'empty.step', bytes: new Uint8Array() })).toBe('file-empty');
    expect(await refusal({ name: 'cut.zip', bytes: zip.slice(0, zip.length / 2) })).toBe('zip-unreadable');
    expect(service.faults).toEqual([]);
  });
});
