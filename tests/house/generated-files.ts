// Every file in `shared` that is made from a definition in code, by its path from the top of the checkout.
import { jsonSchemas } from '../../src/model/json-schemas.ts';
import { columnDocs } from './column-docs.ts';
import { findingDocs } from './finding-docs.ts';

export function generatedFiles(): ReadonlyMap<string, string> {
  const schemas = [...jsonSchemas()].map(([name, text]) => [`shared/schemas/${name}`, text] as const);
  return new Map([...schemas, ['shared/columns.md', columnDocs()], ['shared/findings.md', findingDocs()]]);
}
