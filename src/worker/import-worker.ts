// The worker thread of one CAD import in Node: takes its work as workerData, posts one RawImport, and is then ended.
import { createRequire } from 'node:module';
import { parentPort, workerData } from 'node:worker_threads';
import type { CadFormat, ImportSettings, RawImport } from '../model/raw-import.ts';
import { type OcctFactory, runOcctJob } from './occt-job.ts';

/** What the importer hands to its worker. */
export interface ImportOrder {
  readonly wasm: WebAssembly.Module;
  readonly bytes: Uint8Array;
  readonly format: CadFormat;
  readonly settings: ImportSettings;
}

/** The buffers of a result, to be moved instead of copied. */
function buffers(result: RawImport): ArrayBuffer[] {
  if (!result.ok) return [];
  return result.bodies.flatMap((body) =>
    [body.position, body.triangle, body.faceRange].map((array) => array.buffer as ArrayBuffer),
  );
}

const order = workerData as ImportOrder;
const factory = createRequire(import.meta.url)('occt-import-js') as OcctFactory;
const result = await runOcctJob(factory, order.wasm, order.bytes, order.format, order.settings);
parentPort?.postMessage(result, buffers(result));
