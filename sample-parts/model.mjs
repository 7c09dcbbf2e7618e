// Models the sample parts and writes them with their job files beside this script: `npm run samples`.
// The outputs are committed; a second run gives the same bytes.
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { stepText } from './model/cad.mjs';
import { crossingCylinders, disc, domePair, saddleRim, stadium, torusRing } from './model/calibration.mjs';
import { waveClamp } from './model/clamp.mjs';
import { jobs, trial } from './model/jobs.mjs';
import { stlBytes } from './model/stl.mjs';
import { tidePod } from './model/tide-pod.mjs';
import { wavePod } from './model/wave-pod.mjs';

const folder = path.dirname(fileURLToPath(import.meta.url));

function write(name, content) {
  fs.writeFileSync(path.join(folder, name), content);
  process.stdout.write(`${name}  ${content.length} bytes\n`);
}

const models = {
  'wave-pod': wavePod,
  'tide-pod': tidePod,
  disc,
  'crossing-cylinders': crossingCylinders,
  'saddle-rim': saddleRim,
  'dome-pair': domePair,
  stadium,
  'torus-ring': torusRing,
};

for (const [name, model] of Object.entries(models)) write(`${name}.step`, stepText(model()));

const clampMesh = { tolerance: 0.02, angle: 5 };
write('wave-pod-clamp.stl', stlBytes(waveClamp({ lipped: false }), clampMesh));
write('wave-pod-clamp-shadow.stl', stlBytes(waveClamp({ lipped: true }), clampMesh));

/** JSON with points, and lists of ranges, on one line. */
function readable(value) {
  const oneLine = (list) => list.replace(/\s+/g, ' ').replaceAll('[ ', '[').replaceAll(' ]', ']');
  return `${JSON.stringify(value, null, 2).replace(/\[[-\d.,\s[\]]+\]/g, oneLine)}\n`;
}

for (const [name, job] of Object.entries(jobs())) write(`${name}.job.json`, readable(job));
write('wave-pod.trial.json', readable(trial()));
