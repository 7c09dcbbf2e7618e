// The importer's glue as the page has it makes no code from text, and imports the same: in a realm that forbids it, as a content policy
// does. Source: ECMA-262, HostEnsureCanCompileStrings; Node's vm, codeGeneration.strings.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { createContext, runInContext } from 'node:vm';
import { expect, it, vi } from 'vitest';
import { withoutEval } from '../../bundling/occt-without-eval.ts';
import { type OcctFactory, runOcctJob } from '../../src/worker/occt-job.ts';
import { sampleFile } from '../worker/page/service.ts';

vi.setConfig({ testTimeout: 60_000 });

const require = createRequire(import.meta.url);
const glue = readFileSync(require.resolve('occt-import-js/dist/occt-import-js.js'), 'utf8');
const wasm = readFileSync(require.resolve('occt-import-js/dist/occt-import-js.wasm'));

const strictRealm = () => {
  const names = { TextDecoder, WebAssembly, URL, performance, setTimeout, console };
  return createContext(names, { codeGeneration: { strings: false, wasm: true } });
};

function strictFactory(code: string): OcctFactory {
  const context = strictRealm();
  // A worker of a browser: no `process`, no `window`.
  runInContext(`function importScripts() {} var self = globalThis; self.location = { href: '' };\n${code}`, context);
  return (context as { occtimportjs: OcctFactory }).occtimportjs;
}

const importDisc = async (factory: OcctFactory) =>
  runOcctJob(factory, await WebAssembly.compile(wasm), sampleFile('disc.step').bytes, 'step', {
    linear: 0.05,
    angular: 0.2,
  });

it('imports the same bodies without making code from text', async () => {
  expect(() => runInContext("new Function('return 1')", strictRealm())).toThrow('Code generation from strings');
  const usual = await importDisc(require('occt-import-js') as OcctFactory);
  const strict = await importDisc(strictFactory(withoutEval(glue)));
  if (!usual.ok || !strict.ok) throw new Error(`not imported: ${JSON.stringify([usual, strict]).slice(0, 300)}`);
  expect(strict.bodies.map(({ name }) => name)).toEqual(usual.bodies.map(({ name }) => name));
  strict.bodies.forEach((body, k) => {
    expect(Array.from(body.position)).toEqual(Array.from(usual.bodies[k].position));
    expect(Array.from(body.triangle)).toEqual(Array.from(usual.bodies[k].triangle));
    expect(Array.from(body.faceRange)).toEqual(Array.from(usual.bodies[k].faceRange));
  });
});

it('refuses an importer that it was not written for', () => {
  expect(() => withoutEval(glue.replaceAll('createJsInvoker(', 'createInvoker('))).toThrow('has changed');
});
