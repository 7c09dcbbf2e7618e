// Runs the rules of the house over `src` and says what it looked at.
import { fileURLToPath } from 'node:url';
import { findViolations } from './import-direction.ts';
import { readSources } from './read-sources.ts';

const files = readSources(fileURLToPath(new URL('../..', import.meta.url)));
if (files.length === 0) throw new Error('no source files found: nothing was checked');
const violations = findViolations(files);
for (const { path, line, sentence } of violations) console.error(`${path}:${line}: ${sentence}`);
console.log(`house rules: ${files.length} files, ${violations.length} violations`);
process.exitCode = violations.length > 0 ? 1 : 0;
