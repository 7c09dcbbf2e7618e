// Prints how much memory a process takes that does nothing but one whole search for postures with a constant turn and one
// with a free turn.
import { solvePosture } from '../../src/arm/solve-posture.ts';
import { arm, head, path, settings } from './closed-ring.ts';
import { busyTask } from './metre-scene.ts';

const before = process.memoryUsage().rss / 2 ** 20;
await solvePosture(arm, head, path, settings, busyTask);
await solvePosture(arm, head, path, { ...settings, turn: 'free' }, busyTask);
const peak = process.resourceUsage().maxRSS / 1024;
console.log(`posture search: ${peak.toFixed(0)} MB at most, ${before.toFixed(0)} MB of it before the first`);
