// Starts the placement worker from its TypeScript source, in a checkout: a worker thread does not inherit the loader of
// its parent. The built program has no use for this file.
import { register } from 'tsx/esm/api';

register();
await import('./placement-worker.ts');
