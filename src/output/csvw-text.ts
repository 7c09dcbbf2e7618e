// Metadata of a table after the W3C Metadata Vocabulary for Tabular Data (Pollock, Tennison, Kellogg & Herman, 2015).
// CSVW has no term for units: each column of a unit carries qudt:ucumCode, under its full address, with a UCUM code.
import { CAUTION_TEXT } from './caution.ts';
import type { Column } from './column.ts';
import { jsonText } from './json-text.ts';
import type { Quantity } from './quantity.ts';

/** Property for the unit of a column, a full address because CSVW predefines no prefix for it. */
const UNIT_PROPERTY = 'http://qudt.org/schema/qudt/ucumCode';

export interface TableWords {
  /** File that is described, beside this one. */
  readonly file: string;
  readonly title: string;
  readonly description: string;
  /** Annotations of the table; keys are prefixed names that CSVW knows, or full addresses. */
  readonly properties: readonly object[];
  /** Column that tells the rows apart; `index` when left out. */
  readonly key?: string;
}

/** The name under which CSVW looks for the metadata of a table. */
export const metadataOf = (file: string): string => `${file}-metadata.json`;

/** The metadata file as text. */
export function csvwText<Row>(columns: readonly Column<Row>[], words: TableWords): string {
  return jsonText({
    '@context': ['http://www.w3.org/ns/csvw', { '@language': 'en' }],
    '@type': 'Table',
    url: words.file,
    'dc:title': words.title,
    'dc:description': words.description,
    'dc:conformsTo': { '@id': 'https://www.rfc-editor.org/info/rfc4180' },
    'rdfs:comment': CAUTION_TEXT,
    'schema:additionalProperty': words.properties,
    dialect: {
      '@type': 'Dialect',
      encoding: 'utf-8',
      delimiter: ',',
      quoteChar: '"',
      doubleQuote: true,
      lineTerminators: ['\r\n'],
      header: true,
      headerRowCount: 1,
    },
    tableSchema: {
      '@type': 'Schema',
      columns: columns.map(describeColumn),
      primaryKey: words.key ?? 'index',
    },
  });
}

function describeColumn<Row>(column: Column<Row>): object {
  const words = {
    '@type': 'Column',
    name: column.name,
    titles: column.name,
    'rdfs:label': column.title,
    'dc:description': column.description,
  };
  if (column.quantity === null) {
    return { ...words, datatype: { base: 'string', format: column.pattern }, required: column.required };
  }
  return {
    ...words,
    [UNIT_PROPERTY]: column.quantity.unit,
    datatype: numberType(column.quantity),
    required: column.required,
  };
}

function numberType({ decimals, minimum, maximum }: Quantity): object {
  return {
    base: decimals === 0 ? 'integer' : 'decimal',
    format: decimals === 0 ? '0' : `0.${'0'.repeat(decimals)}`,
    minimum,
    maximum,
  };
}
