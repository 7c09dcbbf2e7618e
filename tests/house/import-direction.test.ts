import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { findViolations } from './import-direction.ts';
import { KERNEL, MAY_IMPORT } from './layers.ts';
import { readSources } from './read-sources.ts';

const sentences = (path: string, text: string): string[] => findViolations([{ path, text }]).map((v) => v.sentence);

describe('import direction', () => {
  it('looks at more than zero files and finds nothing wrong in src', () => {
    const files = readSources(fileURLToPath(new URL('../..', import.meta.url)));
    expect(files.length).toBeGreaterThan(10);
    expect(findViolations(files)).toEqual([]);
  });

  it.each([
    ['a plain import', 'src/beam/a.ts', `import { x } from '../motion/x.ts';`],
    ['a type import', 'src/beam/a.ts', `import type { X } from '../motion/x.ts';`],
    ['an import for its effect', 'src/beam/a.ts', `import '../motion/x.ts';`],
    ['a re-export', 'src/beam/a.ts', `export { x } from '../motion/x.ts';`],
    ['a re-export of everything', 'src/beam/a.ts', `export * from '../motion/x.ts';`],
    ['an import on demand', 'src/beam/a.ts', `export const x = () => import('../motion/x.ts');`],
    ['an import in a template', 'src/beam/a.ts', 'export const x = () => import(`../motion/x.ts`);'],
    ['an import inside a type', 'src/beam/a.ts', `export type X = import('../motion/x.ts').X;`],
    ['a worker', 'src/beam/a.ts', `export const w = new Worker(new URL('../motion/x.ts', import.meta.url));`],
    ['a low layer that looks up', 'src/model/a.ts', `import '../geometry/x.ts';`],
    ['a check that knows a stage', 'src/checks/a.ts', `import '../beam/x.ts';`],
    ['a planner that knows outputs', 'src/planner/a.ts', `import '../output/x.ts';`],
    ['an output that knows the command line', 'src/output/a.ts', `import '../cli/x.ts';`],
    ['a source that knows tests', 'src/output/a.ts', `import '../../tests/x.ts';`],
  ])('refuses %s across the layers', (_, path, text) => {
    expect(sentences(path, text)).toHaveLength(1);
  });

  it.each([
    ['gl-matrix', 'src/beam/a.ts'],
    ['three', 'src/intake/a.ts'],
    ['three/examples/jsm/loaders/STLLoader.js', 'src/intake/a.ts'],
    ['three-mesh-bvh', 'src/worker/a.ts'],
    ['occt-import-js', 'src/planner/a.ts'],
    ['node:fs', 'src/intake/a.ts'],
    ['fs/promises', 'src/planner/a.ts'],
  ])('refuses %s in %s', (name, path) => {
    expect(sentences(path, `import x from '${name}'; export { x };`)).toHaveLength(1);
  });

  it('finds a package that is only resolved', () => {
    const text = `export const wasm = require.resolve('occt-import-js/dist/occt-import-js.wasm');`;
    expect(sentences('src/cli/a.ts', text)).toEqual(['only src/intake, src/worker may import occt-import-js']);
  });

  it('refuses a file outside every layer and a file that does not parse', () => {
    expect(sentences('src/stray.ts', '')).toEqual(['lies in no known layer of src']);
    expect(sentences('src/oddments/a.ts', '')).toEqual(['lies in no known layer of src']);
    expect(() => sentences('src/beam/a.ts', 'const = ;')).toThrow();
  });

  it('lets downward imports, data, and Node outside the kernel pass', () => {
    expect(sentences('src/beam/a.ts', `import '../geometry/x.ts'; import '../model/y.ts'; import './z.ts';`)).toEqual(
      [],
    );
    expect(
      sentences('src/planner/a.ts', `import d from '../../shared/data/optics.json' with { type: 'json' };`),
    ).toEqual([]);
    expect(sentences('src/cli/a.ts', `import 'node:fs'; import '../worker/x.ts'; console.log(Date.now());`)).toEqual(
      [],
    );
    expect(sentences('src/worker/a.ts', `import occt from 'occt-import-js';`)).toEqual([]);
  });

  it('names layers that import only layers below them: no circle is possible', () => {
    const seen = new Set<string>();
    const descend = (folder: string, above: readonly string[]): void => {
      expect(above).not.toContain(folder);
      seen.add(folder);
      for (const next of MAY_IMPORT[folder]) descend(next, [...above, folder]);
    };
    for (const folder of ['worker', 'cli', 'app']) descend(folder, []);
    for (const folder of KERNEL) expect(seen).toContain(folder);
  });
});

describe('determinism of the kernel', () => {
  it.each([
    'Math.sin(x)',
    'Math.hypot(x, 1)',
    'Math.pow(x, 2)',
    'Math.random()',
    "Math['sin'](x)",
    'x ** 0.5',
    'x ** x',
    'Date.now()',
    'new Date()',
    'performance.now()',
    'console.log(x)',
    'globalThis.x',
    "'a'.localeCompare('b')",
    'x.toLocaleString()',
  ])('refuses %s', (expression) => {
    expect(sentences('src/beam/a.ts', `export const f = (x: number): unknown => ${expression};`)).toHaveLength(1);
    expect(sentences('src/cli/a.ts', `export const f = (x: number): unknown => ${expression};`)).toEqual([]);
  });

  it('refuses Math under another name and powers in place', () => {
    expect(sentences('src/beam/a.ts', 'const { sin } = Math; export { sin };')).toHaveLength(1);
    expect(sentences('src/beam/a.ts', 'const m = Math; export { m };')).toHaveLength(1);
    expect(sentences('src/beam/a.ts', 'export let x = 2; x **= 0.5;')).toHaveLength(1);
  });

  it('lets exact arithmetic, keys and words in comments and strings pass', () => {
    const text = `// Math.sin, Date
      export const f = (x: number) => Math.sqrt(x ** 2 + x ** -1) + Math.abs(x) * Math.PI;
      export const g = { console: 1, Date: 2 };
      export const h = 'performance';
      export interface I { readonly Date: string }
      export const k = (job: { process: number; console: number }) => job.process + job.console;`;
    expect(sentences('src/beam/a.ts', text)).toEqual([]);
  });
});
