// Bad input ends in one clear error, exit code 3, and an untouched output folder.
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { runCommand } from '../../src/cli/run-command.ts';

const samples = fileURLToPath(new URL('../../sample-parts/', import.meta.url));
let folder = '';

interface Run {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

async function run(words: readonly string[], signal = new AbortController().signal): Promise<Run> {
  let out = '';
  let err = '';
  const code = await runCommand(words, {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    isTerminal: false,
    signal,
  });
  return { code, out, err };
}

const discJob = () => JSON.parse(readFileSync(join(samples, 'disc.job.json'), 'utf8'));

function writeJob(name: string, change: (job: ReturnType<typeof discJob>) => void): string {
  const job = discJob();
  change(job);
  const path = join(folder, name);
  writeFileSync(path, JSON.stringify(job));
  return path;
}

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'raythread-'));
  for (const name of ['disc.step', 'disc.job.json', 'wave-pod-clamp.stl'])
    cpSync(join(samples, name), join(folder, name));
  writeFileSync(join(folder, 'empty.step'), '');
  writeFileSync(join(folder, 'junk.step'), 'ISO-10303-21; no such thing');
  const step = readFileSync(join(samples, 'disc.step'));
  writeFileSync(join(folder, 'cut.step'), step.subarray(0, step.length >> 1));
  writeFileSync(
    join(folder, 'noise.bin'),
    Uint8Array.from({ length: 4096 }, (_, k) => (k * 2654435761) >>> 13),
  );
  const stl = readFileSync(join(samples, 'wave-pod-clamp.stl'));
  writeFileSync(join(folder, 'cut.stl'), stl.subarray(0, 1000));
  const nan = Buffer.from(stl);
  nan.writeFloatLE(Number.NaN, 84 + 50 * 3 + 12);
  writeFileSync(join(folder, 'nan.stl'), nan);
  mkdirSync(join(folder, 'folder.step'));
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

const tooling = (file: string) => (job: ReturnType<typeof discJob>) =>
  job.parts.push({ file, unit: 'mm', role: 'tooling' });
const absorber = (file: string) => (job: ReturnType<typeof discJob>) => {
  for (const part of job.parts) part.file = file;
};

describe('bad input', () => {
  it.each<[string, (job: ReturnType<typeof discJob>) => void, string, string]>([
    ['an unknown key', (job) => Object.assign(job, { hue: 3 }), 'job-key-unknown', 'hue'],
    ['a speed of zero', (job) => Object.assign(job.process, { speed_mm_s: 0 }), 'job-value', '/process/speed_mm_s'],
    [
      'a negative line energy',
      (job) => Object.assign(job.process, { line_energy_J_mm: -1 }),
      'job-value',
      '/process/line_energy_J_mm',
    ],
    ['a missing file', absorber('gone.step'), 'file-missing', 'gone.step'],
    ['a file outside', absorber('../outside.step'), 'file-outside', 'outside.step'],
    ['an absolute file outside', absorber('/etc/hostname'), 'file-outside', '/etc/hostname'],
    ['a folder as a file', absorber('folder.step'), 'file-unreadable', 'folder.step'],
    ['an empty file', absorber('empty.step'), 'file-empty', 'empty.step'],
    ['junk that calls itself STEP', absorber('junk.step'), 'step-', 'junk.step'],
    ['a truncated STEP', absorber('cut.step'), 'step-', 'cut.step'],
    ['noise', absorber('noise.bin'), 'format-unknown', 'noise.bin'],
    ['a truncated STL', tooling('cut.stl'), 'stl-', 'cut.stl'],
    ['an STL with NaN', tooling('nan.stl'), 'stl-', 'nan.stl'],
    ['a body nobody has', (job) => Object.assign(job.parts[0], { body: 'keel' }), 'body-unknown', '/parts/0'],
    ['a body by a wrong number', (job) => Object.assign(job.parts[0], { body: '#7' }), 'body-unknown', '/parts/0'],
    [
      'a selection that meets nothing',
      (job) => Object.assign(job.seams[0], { select: { edge: { body: 'disc', near_mm: [999, 0, 0] } } }),
      'selection-empty',
      'disc',
    ],
    [
      'an edge id nobody has',
      (job) => Object.assign(job.seams[0], { select: { edges: ['disc:900-901'] } }),
      'edge-unknown',
      'disc',
    ],
    [
      'an impossible transmittance',
      (job) =>
        Object.assign(job, {
          layer: { thickness_mm: 2, material: 'glassy' },
          materials: { glassy: { index: 1.585, transmittance: { value: 0.95, thickness_mm: 2 } } },
          parts: job.parts.filter((part: { role: string }) => part.role !== 'transmissive'),
          head: { axis: [0, 0, -1] },
        }),
      'transmittance-impossible',
      'glassy',
    ],
    [
      'a selection on the lid',
      (job) => Object.assign(job.seams[0], { select: { edge: { body: 'lid', near_mm: [40, 0, 6] } } }),
      'body-role',
      'rim',
    ],
    [
      'an edge whose joint face nothing tells',
      (job) => {
        job.parts.shift();
      },
      'joint-face-ambiguous',
      'rim',
    ],
    ['the same body twice', (job) => job.parts.push({ ...job.parts[1] }), 'body-twice', '/parts/2'],
    [
      'the same body by another spelling of its file',
      (job) => job.parts.push({ ...job.parts[1], file: './disc.step' }),
      'body-twice',
      '/parts/2',
    ],
    [
      'nothing that absorbs',
      (job) => {
        for (const part of job.parts) Object.assign(part, { role: 'tooling' });
      },
      'no-absorbing-part',
      '/parts',
    ],
    ['an axis without a direction', (job) => Object.assign(job.head, { axis: [0, 0, 0] }), 'axis-zero', '/seams/0'],
    [
      'a number that is no number',
      (job) => Object.assign(job.head, { standoff_mm: Number.NaN }),
      'job-value',
      '/head/standoff_mm',
    ],
    ['a name with a zero byte', absorber('a\0b.step'), 'file-unreadable', 'b.step'],
    [
      'an STL without a unit',
      (job) => job.parts.push({ file: 'nan.stl', role: 'tooling' }),
      'unit-missing',
      '/parts/2',
    ],
  ])('%s', async (_, change, code, place) => {
    const job = writeJob('bad.job.json', change);
    const out = join(folder, 'never');
    const { code: exit, out: text, err } = await run(['plan', job, '--out', out]);
    expect(err.split('\n')).toHaveLength(2);
    expect(err).toContain(code);
    expect(err).toContain(place);
    expect(err).toMatch(/^[a-z-]+: .+ \(.*\) - .+\n$/);
    expect(err.slice(0, -1)).not.toMatch(/\p{Cc}/u);
    expect([exit, text]).toEqual([3, '']);
    expect(existsSync(out)).toBe(false);

    const asJson = await run(['plan', job, '--out', out, '--json']);
    expect(Object.keys(JSON.parse(asJson.err))).toEqual(['code', 'sentence', 'place', 'hint']);
  });

  it.each<[string, (text: string) => string, string]>([
    ['comments', (text) => `// mine\n${text}`, 'job-json'],
    ['a comma too many', (text) => text.replace(/}$/, ',}'), 'job-json'],
    ['a key twice', (text) => text.replace('"speed_mm_s":50', '"speed_mm_s":50,"speed_mm_s":500'), 'job-key-twice'],
    ['__proto__ as a key', (text) => text.replace('{', '{"materials":{"__proto__":{"index":1.5}},'), 'job-key-unknown'],
    [
      '__proto__ with a role',
      (text) => text.replace('"role"', '"__proto__":{"role":"tooling"},"role"'),
      'job-key-unknown',
    ],
    ['an escape in a key', (text) => text.replace('{', '{"\\u001b[2J":1,'), 'job-key-unknown'],
    ['nesting without end', () => '['.repeat(200_000) + ']'.repeat(200_000), 'job-value'],
    ['infinity by overflow', (text) => text.replace('"speed_mm_s":50', '"speed_mm_s":1e999'), 'job-value'],
    ['nothing in it', () => '', 'job-json'],
    ['null in it', () => 'null', 'job-value'],
  ])('a job with %s', async (_, change, code) => {
    const path = join(folder, 'odd.job.json');
    writeFileSync(path, change(JSON.stringify(discJob())));
    const { code: exit, err } = await run(['check', path]);
    expect([exit, err.slice(0, code.length + 1)]).toEqual([3, `${code}:`]);
    expect(err.slice(0, -1)).not.toMatch(/\p{Cc}/u);
  });

  it('a byte order mark is no error, a title cannot move the cursor', async () => {
    const path = writeJob('mark.job.json', (job) => Object.assign(job, { title: 'disc \u001b[2J\u0007' }));
    writeFileSync(path, `\ufeff${readFileSync(path, 'utf8')}`);
    const { code, out } = await run(['check', path]);
    expect(code).toBe(0);
    expect(out.replaceAll('\n', '')).not.toMatch(/\p{Cc}/u);
  });

  it('bad usage under --json is JSON too', async () => {
    const { code, err } = await run(['plan', 'x', '--json']);
    expect([code, JSON.parse(err).code]).toEqual([2, 'usage']);
  });

  it('a link that leads outside', async () => {
    symlinkSync(join(samples, 'disc.step'), join(folder, 'link.step'));
    const { code, err } = await run(['check', writeJob('link.job.json', absorber('link.step'))]);
    expect([code, err.slice(0, 12)]).toEqual([3, 'file-outside']);
  });

  it('a job that is missing, not JSON, or not text', async () => {
    const path = join(folder, 'x.job.json');
    expect((await run(['check', join(folder, 'none.job.json')])).err).toMatch(/^job-missing: /);
    writeFileSync(path, '{"format": ');
    expect((await run(['check', path])).err).toMatch(/^job-json: /);
    writeFileSync(path, Uint8Array.of(0x7b, 0xff, 0xfe, 0x7d));
    expect((await run(['check', path])).err).toMatch(/^job-encoding: /);
    expect((await run(['check', folder])).err).toMatch(/^job-unreadable: /);
  });

  it('an output folder that is a file', async () => {
    const path = join(folder, 'occupied');
    writeFileSync(path, 'mine');
    const { code, err } = await run(['plan', join(folder, 'disc.job.json'), '--out', path]);
    expect([code, err.slice(0, 14)]).toEqual([3, 'out-unwritable']);
    expect(readFileSync(path, 'utf8')).toBe('mine');
  });

  it('bad usage is exit code 2 and says how to go on', async () => {
    const { code, err } = await run(['plan', 'x']);
    expect([code, err]).toEqual([2, 'usage: "plan" needs --out DIR (raythread --help)\n']);
  });

  it('a cancelled run is exit code 4 and writes nothing', async () => {
    const abort = new AbortController();
    const out = join(folder, 'cancelled');
    const running = run(['plan', join(folder, 'disc.job.json'), '--out', out], abort.signal);
    abort.abort();
    const { code, err } = await running;
    expect([code, err]).toEqual([4, 'cancelled: nothing was written\n']);
    expect(existsSync(out)).toBe(false);
  });

  it('leaves earlier outputs alone when a later run fails', async () => {
    const out = join(folder, 'kept');
    mkdirSync(out);
    writeFileSync(join(out, 'plan.json'), 'old');
    await run(['plan', writeJob('bad.job.json', absorber('empty.step')), '--out', out]);
    expect(readdirSync(out)).toEqual(['plan.json']);
    expect(readFileSync(join(out, 'plan.json'), 'utf8')).toBe('old');
  });
});
