// The worker that plans for the page: the plan service in its browser surroundings.
import './zod-settings.ts';
import { readCatalogue } from '../catalogue.ts';
import { createBrowserImporter } from './browser-importer.ts';
import { createPlanService } from './plan-service.ts';
import type { ToWorker } from './protocol.ts';

/** A turn for others by way of a message to oneself: a timer would wait for milliseconds. */
function createYield(): () => Promise<void> {
  const { port1, port2 } = new MessageChannel();
  const waiting: (() => void)[] = [];
  port1.onmessage = () => waiting.shift()?.();
  return () =>
    new Promise((resolve) => {
      waiting.push(resolve);
      port2.postMessage(null);
    });
}

async function sha256(bytes: Uint8Array): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes as Uint8Array<ArrayBuffer>));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

const service = createPlanService({
  catalogue: readCatalogue(),
  importCad: createBrowserImporter(),
  sha256,
  now: () => performance.now(),
  yieldTurn: createYield(),
  post: (message, buffers) => postMessage(message, { transfer: [...buffers] as ArrayBuffer[] }),
  // Thrown outside of any promise, so that the page hears of it.
  fail: (error) =>
    setTimeout(() => {
      throw error;
    }),
});

addEventListener('message', ({ data }: MessageEvent<ToWorker>) => void service.take(data));
postMessage({ kind: 'ready' });
