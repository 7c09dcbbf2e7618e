// Writes what stands in `shared` and is made from definitions in code anew (`npm run schemas`).
import { writeFileSync } from 'node:fs';
import { generatedFiles } from './generated-files.ts';

for (const [path, text] of generatedFiles()) writeFileSync(new URL(`../../${path}`, import.meta.url), text);
