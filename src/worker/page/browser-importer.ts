// Runs the CAD importer in a nested worker of the browser: one worker an import, ended afterwards, on abort and when it hangs. The
// WebAssembly module is fetched when the first CAD file is read.
import wasmAddress from 'occt-import-js/dist/occt-import-js.wasm?url';
import { Cancelled } from '../../model/input-error.ts';
import type { CadImporter, RawImport } from '../../model/raw-import.ts';
import type { PageImportOrder } from './import-worker.ts';

/** Longest time that one import may take, s. */
const IMPORT_LIMIT_S = 900;

/** An importer whose workers share one compilation; see `CadImporter`. */
export function createBrowserImporter(limit = IMPORT_LIMIT_S): CadImporter {
  let compiled: Promise<WebAssembly.Module> | undefined;

  return async (bytes, format, settings, signal) => {
    compiled ??= WebAssembly.compileStreaming(fetch(wasmAddress)).catch((error: unknown) => {
      compiled = undefined;
      throw error;
    });
    const order: PageImportOrder = { wasm: await compiled, bytes: bytes.slice(), format, settings };
    if (signal.aborted) throw new Cancelled();
    const worker = new Worker(new URL('./import-worker.ts', import.meta.url), { type: 'module' });

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
        worker.onmessage = ({ data }: MessageEvent<RawImport>) => resolve(data);
        worker.onerror = (event) => {
          event.preventDefault();
          resolve({ ok: false, reason: event.message === '' ? 'the importer ended without a result' : event.message });
        };
        worker.postMessage(order, [order.bytes.buffer as ArrayBuffer]);
      });
    } finally {
      clearTimeout(clock);
      if (stop !== undefined) signal.removeEventListener('abort', stop);
      worker.terminate();
    }
  };
}
