import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { generatedFiles } from './generated-files.ts';
import { readSources } from './read-sources.ts';

const top = new URL('../../', import.meta.url);
const read = (path: string) => readFileSync(new URL(path, top), 'utf8');

describe('what shared says', () => {
  it.each([...generatedFiles()])('%s is what the code makes (npm run schemas writes it anew)', (path, text) => {
    expect(read(path)).toBe(text);
  });

  it('the table of input errors names every code that is raised', () => {
    const raised = new Set<string>();
    for (const { text } of readSources(fileURLToPath(top))) {
      for (const [, code] of text.matchAll(/new InputError\(\s*(?:\w+ \? )?'([a-z-]+)'/g)) raised.add(code as string);
    }
    expect(raised.size).toBeGreaterThan(30);
    const named = new Set([...read('shared/input-errors.md').matchAll(/^\| `([a-z-]+)` \|/gm)].map(([, code]) => code));
    expect([...raised].filter((code) => !named.has(code))).toEqual([]);
  });

  it('the project speaks of no path of a machine and of no registry', () => {
    const texts = ['README.md', 'DEVELOPERS.md', 'package.json', 'package-lock.json', '.ci/run'].map(read);
    for (const text of texts) expect(text).not.toMatch(/"resolved"|\/home\/|\/root\/|registry\./);
  });
});
