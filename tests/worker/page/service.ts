// The plan service in Node: what a test says to it, and what it answers.
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { readCatalogue } from '../../../src/worker/catalogue.ts';
import { createNodeImporter } from '../../../src/worker/node-importer.ts';
import { createPlanService } from '../../../src/worker/page/plan-service.ts';
import type { FromWorker, PageFile } from '../../../src/worker/page/protocol.ts';

const SAMPLES = fileURLToPath(new URL('../../../sample-parts/', import.meta.url));

export const sampleText = (name: string): string => readFileSync(SAMPLES + name, 'utf8');
export const sampleFile = (name: string): PageFile => ({ name, bytes: new Uint8Array(readFileSync(SAMPLES + name)) });

export function startService() {
  const heard: FromWorker[] = [];
  const faults: unknown[] = [];
  let turns = 0;
  /** Called after each turn that the service gives to others. */
  let between: (turn: number) => void = () => undefined;
  const service = createPlanService({
    catalogue: readCatalogue(),
    importCad: createNodeImporter(),
    sha256: async (bytes) => createHash('sha256').update(bytes).digest('hex'),
    now: () => performance.now(),
    yieldTurn: async () => {
      await new Promise((resolve) => setImmediate(resolve));
      turns += 1;
      between(turns);
    },
    post: (message, buffers) =>
      void heard.push(structuredClone(message, { transfer: [...new Set(buffers)] as ArrayBuffer[] })),
    fail: (error) => void faults.push(error),
  });
  return {
    take: service.take,
    heard,
    faults,
    /** What was heard, without progress; forgets it. */
    news: () => heard.splice(0).filter((message) => message.kind !== 'progress'),
    onTurn: (listener: (turn: number) => void) => {
      between = listener;
    },
  };
}
