// The command `place`: the same bytes for any number of workers, one clear word on what blocks, nothing left when cancelled.
import { cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Papa from 'papaparse';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import headsJson from '../../shared/data/heads.json' with { type: 'json' };
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

type Job = Record<string, unknown>;

/** The disc's job with waypoints far apart, carried by the smallest arm of the catalogue. */
function writeJob(name: string, changes: Job): string {
  const job = JSON.parse(readFileSync(join(samples, 'disc.job.json'), 'utf8'));
  job.seams[0].spacing_mm = 6;
  const path = join(folder, name);
  writeFileSync(path, JSON.stringify({ ...job, arm: 'six-axis-700', ...changes }));
  return path;
}

const box = {
  position_mm: [
    [300, 600],
    [-100, 100],
    [60, 60],
  ],
  rotation_deg: [
    [0, 0],
    [0, 0],
    [0, 30],
  ],
  levels: 1,
  keep: 2,
};

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'raythread-place-'));
  cpSync(join(samples, 'disc.step'), join(folder, 'disc.step'));
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('place', () => {
  it('writes the same bytes with one worker and with three', async () => {
    const job = writeJob('reach.job.json', { search: box });
    const runs = await Promise.all(
      [1, 3].map((n) => run(['place', job, '--out', join(folder, `by-${n}`), '--workers', String(n)])),
    );
    expect(runs.map(({ code }) => code)).toEqual([0, 0]);
    const names = readdirSync(join(folder, 'by-1')).sort();
    expect(names).toEqual(['placements.csv', 'placements.csv-metadata.json', 'placements.json']);
    for (const name of names) {
      const bytes = readFileSync(join(folder, 'by-1', name));
      expect(readFileSync(join(folder, 'by-3', name)).equals(bytes)).toBe(true);
    }
    expect(runs[0].out).toContain('free from end to end');
    const said = (text: string): string => text.slice(0, text.indexOf('\nWrote'));
    expect(said(runs[1].out)).toBe(said(runs[0].out));
  }, 120_000);

  it('writes a table that its metadata and its JSON agree with', async () => {
    const text = readFileSync(join(folder, 'by-1', 'placements.csv'), 'utf8');
    const { data, errors } = Papa.parse<Record<string, string>>(text, { header: true, skipEmptyLines: true });
    const json = JSON.parse(readFileSync(join(folder, 'by-1', 'placements.json'), 'utf8'));
    const words = JSON.parse(readFileSync(join(folder, 'by-1', 'placements.csv-metadata.json'), 'utf8'));
    expect(errors).toEqual([]);
    expect(data.length).toBe(json.looked_at);
    expect(json.placements).toHaveLength(json.looked_at);
    expect(Object.keys(data[0])).toEqual(words.tableSchema.columns.map(({ name }: { name: string }) => name));
    expect(words.tableSchema.primaryKey).toBe('rank');
    expect(data.filter(({ figures }) => figures === 'planned')).toHaveLength(json.planned);
    data.forEach((row, k) => {
      const { position_mm, rotation_deg, done_mm, blocks } = json.placements[k];
      expect(Number(row.rank)).toBe(k + 1);
      expect([row.x_mm, row.y_mm, row.z_mm].map(Number)).toEqual(position_mm);
      expect([row.a_deg, row.b_deg, row.c_deg].map(Number)).toEqual(rotation_deg);
      expect(Number(row.done_mm)).toBe(done_mm);
      expect(Number(row.blocks)).toBe(blocks.length);
      expect(row.block === '').toBe(blocks.length === 0);
    });
    const fits = data.filter((row) => row.figures === 'planned' && row.blocks === '0');
    expect(fits).toHaveLength(json.fits);
    expect(data.indexOf(fits.at(-1) as (typeof data)[number])).toBe(json.fits - 1);
  });

  it('a part that fits nowhere: exit code 1, and what is in the way, how often, and where at the best', async () => {
    // The arm's reach is 0.7 m: nothing of the disc, 80 mm wide, is within it at 1.2 m and beyond.
    const far = {
      ...box,
      position_mm: [
        [1200, 1400],
        [0, 100],
        [60, 60],
      ],
    };
    const job = writeJob('far.job.json', { search: far });
    const { code, out } = await run(['place', job, '--workers', '1', '--json']);
    const { fits, looked_at, in_the_way, best, written } = JSON.parse(out);
    expect(code).toBe(1);
    expect(fits).toBe(0);
    expect(written).toEqual([]);
    expect(in_the_way).toEqual([{ why: 'out-of-reach', placements: looked_at, mean_share: 1 }]);
    // The best is the nearest.
    expect(best[0].position_mm).toEqual([1200, 0, 60]);
    expect(best[0].blocks).toHaveLength(1);
    const [block] = best[0].blocks;
    expect(block).toMatchObject({ seam: 'rim', why: 'out-of-reach' });
    expect(block.to_mm - block.from_mm).toBeCloseTo(best[0].length_mm, 3);
    expect(block.excess_mm).toBeGreaterThan(300);
    expect(block.excess_mm).toBeLessThan(800);
    const text = await run(['place', job, '--workers', '1']);
    expect(text.out).toContain('Nothing fits.');
    expect(text.out).toMatch(/rim, -?[\d.]+ to [\d.]+ mm: out-of-reach: out of reach, by [\d.]+ mm/);
  });

  it('a head heavier than what the arm carries fits nowhere, and that is said with the kilograms', async () => {
    const [{ flange_to_head, envelope, umbilical }] = headsJson.heads;
    const mount = { flange_to_head, envelope, umbilical, mass_kg: 7.25 };
    const head = { standoff_mm: 150, axis: 'joint-normal', mount };
    const job = writeJob('heavy.job.json', { search: { ...box, levels: 0, keep: 1 }, head });
    const { code, out } = await run(['place', job, '--workers', '1', '--json']);
    const { fits, looked_at, in_the_way, best } = JSON.parse(out);
    expect([code, fits]).toEqual([1, 0]);
    expect(in_the_way).toContainEqual({ why: 'payload', pair: 'own', placements: looked_at, mean_share: 0 });
    // The catalogue's smallest arm carries 5 kg.
    expect(best[0].blocks.at(-1)).toEqual({ why: 'payload', pair: 'own', excess_kg: 2.25 });
    const text = await run(['place', job, '--workers', '1']);
    expect(text.out).toContain('payload (own): the head is heavier than what the arm may carry, by 2.25 kg');
  }, 120_000);

  it('cancelled: exit code 4, nothing written, no worker left', async () => {
    const job = writeJob('long.job.json', { search: { ...box, step_mm: 10, step_deg: 5 } });
    const abort = new AbortController();
    const out = join(folder, 'cancelled');
    const before = ports();
    let seen = '';
    const code = await runCommand(['place', job, '--out', out, '--workers', '2', '--progress'], {
      out: () => undefined,
      err: (text) => {
        seen += text;
        if (seen.includes('looking over the box')) abort.abort();
      },
      isTerminal: false,
      signal: abort.signal,
    });
    expect(code).toBe(4);
    expect(seen).toContain('looking over the box');
    expect(seen).toContain('cancelled: nothing was written');
    expect(existsSync(out)).toBe(false);
    expect(ports()).toBe(before);
  });

  it.each([
    ['place-no-arm', { search: box, arm: null }],
    ['place-no-search', {}],
    [
      'search-range',
      {
        search: {
          position_mm: [
            [1, 0],
            [0, 0],
            [0, 0],
          ],
        },
      },
    ],
    ['search-too-large', { search: { ...box, step_mm: 0.1, step_deg: 0.1 } }],
    ['job-value', { search: { ...box, levels: 99 } }],
    ['arm-unknown', { search: box, arm: 'no-such-arm' }],
  ])('%s is refused with exit code 3', async (code, changes) => {
    const { err, ...rest } = await run(['place', writeJob('refused.job.json', changes), '--out', join(folder, 'no')]);
    expect(rest).toEqual({ code: 3, out: '' });
    expect(err).toMatch(new RegExp(`^${code}: .* \\(refused.job.json#/.*\\) - .*\n$`));
    expect(existsSync(join(folder, 'no'))).toBe(false);
  });
});

/** Handles of threads that keep this process alive. */
const ports = (): number => process.getActiveResourcesInfo().filter((kind) => kind === 'MessagePort').length;
