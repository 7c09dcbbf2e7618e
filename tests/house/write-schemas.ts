// Writes shared/schemas anew from the definitions in src/model (`npm run schemas`).
import { writeFileSync } from 'node:fs';
import { jsonSchemas } from '../../src/model/json-schemas.ts';

for (const [name, text] of jsonSchemas()) {
  writeFileSync(new URL(`../../shared/schemas/${name}`, import.meta.url), text);
}
