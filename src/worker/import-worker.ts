// The worker thread of one CAD import in Node: takes its work as workerData, posts one RawImport, and is then ended.
import { createRequire } from 'node:module';
import { parentPort, workerData } from 'node:worker_threads';
import type { CadFormat, ImportSettings } from '../model/raw-import.ts';
import { type OcctFactory, rawBuffers, runOcctJob } from './occt-job.ts';

/** What the importer hands to its worker. */
export interface ImportOrder {
  readonly wasm: WebAssembly.Module;
  readonly bytes: Uint8Array;
  readonly format: CadFormat;
  readonly settings: ImportSettings;
}

const order = workerData as ImportOrder;
const factory = createRequire(import.meta.url)('occt-import-js') as OcctFactory;
const result = await runOcctJob(factory, order.wasm, order.bytes, order.format, order.settings);
parentPort?.postMessage(result, rawBuffers(result));
