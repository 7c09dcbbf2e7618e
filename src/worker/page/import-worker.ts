// The browser worker of one CAD import: takes one order, posts one RawImport, and is then ended.
import occtImport from 'occt-import-js';
import type { CadFormat, ImportSettings } from '../../model/raw-import.ts';
import { type OcctFactory, rawBuffers, runOcctJob } from '../occt-job.ts';

/** What the importer hands to its worker. */
export interface PageImportOrder {
  readonly wasm: WebAssembly.Module;
  readonly bytes: Uint8Array;
  readonly format: CadFormat;
  readonly settings: ImportSettings;
}

addEventListener('message', async ({ data }: MessageEvent<PageImportOrder>) => {
  const { wasm, bytes, format, settings } = data;
  const result = await runOcctJob(occtImport as OcctFactory, wasm, bytes, format, settings);
  postMessage(result, { transfer: rawBuffers(result) });
});
