// Runs the CAD importer in a worker thread of Node: one worker an import, ended afterwards, on abort and when it hangs.
import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { Worker } from 'node:worker_threads';
import { Cancelled } from '../model/input-error.ts';
import type { CadImporter, RawImport } from '../model/raw-import.ts';
import type { ImportOrder } from './import-worker.ts';

/** Longest time that one import may take, s. A real housing of a thousand faces takes about 20 s at 0.01 mm. */
const IMPORT_LIMIT_S = 900;

/**
 * An importer whose workers share one compilation of the WebAssembly module. The worker's file stands beside this one:
 * `import-worker.mjs` once built, its source in a checkout. An import that takes longer than `limit`
 * seconds is ended and reported as `ok: false`; an abort ends it at once with `Cancelled`.
 */
export function createNodeImporter(limit = IMPORT_LIMIT_S): CadImporter {
  const require = createRequire(import.meta.url);
  const checkout = import.meta.url.endsWith('.ts');
  const file = new URL(checkout ? './start-import-worker.mjs' : './import-worker.mjs', import.meta.url);
  let compiled: Promise<WebAssembly.Module> | undefined;

  return async (bytes, format, settings, signal) => {
    compiled ??= readFile(require.resolve('occt-import-js/dist/occt-import-js.wasm')).then((wasm) =>
      WebAssembly.compile(wasm),
    );
    const order: ImportOrder = { wasm: await compiled, bytes: bytes.slice(), format, settings };
    if (signal.aborted) throw new Cancelled();
    const worker = new Worker(file, {
      workerData: order,
      execArgv: [],
      transferList: [order.bytes.buffer as ArrayBuffer],
    });

    let stop: (() => void) | undefined;
    let clock: ReturnType<typeof setTimeout> | undefined;
    try {
      return await new Promise<RawImport>((resolve, reject) => {
        stop = () => reject(new Cancelled());
        signal.addEventListener('abort', stop);
        clock = setTimeout(
          () => resolve({ ok: false, reason: `no result within ${limit} s, the import was ended` }),
          1000 * limit,
        );
        worker.on('message', resolve);
        worker.on('error', (error: Error & { code?: string }) => {
          if (error.code === 'ERR_WORKER_OUT_OF_MEMORY') resolve({ ok: false, reason: 'not enough memory' });
          else reject(error);
        });
        worker.on('exit', () => resolve({ ok: false, reason: 'the importer ended without a result' }));
      });
    } finally {
      clearTimeout(clock);
      if (stop !== undefined) signal.removeEventListener('abort', stop);
      await worker.terminate();
    }
  };
}
