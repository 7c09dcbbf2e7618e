// Writes shared/schemas and shared/columns.md anew from the definitions in src (`npm run schemas`).
import { writeFileSync } from 'node:fs';
import { jsonSchemas } from '../../src/model/json-schemas.ts';
import { columnDocs } from './column-docs.ts';

for (const [name, text] of jsonSchemas()) {
  writeFileSync(new URL(`../../shared/schemas/${name}`, import.meta.url), text);
}
writeFileSync(new URL('../../shared/columns.md', import.meta.url), columnDocs());
