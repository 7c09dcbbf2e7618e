// The rules of CSV metadata that our tables have to keep, checked against text.
// Source: W3C Recommendation "Metadata Vocabulary for Tabular Data", 17 December 2015, sections 5.3 (tables), 5.5 (schemas),
// 5.6 (columns), 5.8 (common properties), 5.9 (dialects), and "Model for Tabular Data and Metadata on the Web", sections
// 4.6 (cells), 6.4 (parsing cells); names and rules from memory of them.
import Papa from 'papaparse';

interface Datatype {
  readonly base: string;
  readonly format?: string;
  readonly minimum?: number;
  readonly maximum?: number;
}

interface ColumnMetadata {
  readonly name: string;
  readonly titles: string;
  readonly required: boolean;
  readonly datatype: Datatype;
  readonly [key: string]: unknown;
}

export interface TableMetadata {
  readonly url: string;
  readonly tableSchema: { readonly columns: readonly ColumnMetadata[]; readonly primaryKey: string };
  readonly [key: string]: unknown;
}

const OWN = {
  Table: [
    'url',
    'dialect',
    'notes',
    'suppressOutput',
    'tableDirection',
    'tableSchema',
    'transformations',
    '@id',
    '@type',
    '@context',
  ],
  Schema: ['columns', 'foreignKeys', 'primaryKey', 'rowTitles', '@id', '@type'],
  Column: ['name', 'suppressOutput', 'titles', 'virtual', '@id', '@type'],
  Dialect: [
    'commentPrefix',
    'delimiter',
    'doubleQuote',
    'encoding',
    'header',
    'headerRowCount',
    'lineTerminators',
    'quoteChar',
    'skipBlankRows',
    'skipColumns',
    'skipInitialSpace',
    'skipRows',
    'trim',
    '@id',
    '@type',
  ],
  Datatype: [
    'base',
    'format',
    'length',
    'minLength',
    'maxLength',
    'minimum',
    'maximum',
    'minInclusive',
    'maxInclusive',
    'minExclusive',
    'maxExclusive',
    '@id',
    '@type',
  ],
} as const;
const INHERITED = [
  'aboutUrl',
  'datatype',
  'default',
  'lang',
  'null',
  'ordered',
  'propertyUrl',
  'required',
  'separator',
  'textDirection',
  'valueUrl',
];
/** Prefixes of the initial context that we use. */
const PREFIXES = ['dc', 'schema', 'rdfs', 'qb', 'skos'];
const BASES = ['string', 'integer', 'decimal', 'number', 'boolean', 'double'];

const isCommon = (key: string): boolean => /^https?:\/\//.test(key) || PREFIXES.includes(key.split(':')[0]);

function wrongKeys(kind: keyof typeof OWN, value: object, inherits: boolean, common: boolean): string[] {
  const allowed: readonly string[] = [...OWN[kind], ...(inherits ? INHERITED : [])];
  return Object.keys(value)
    .filter((key) => !allowed.includes(key) && !(common && isCommon(key)))
    .map((key) => `${kind} must not hold ${key}`);
}

/** What breaks the rules in metadata of one table. */
export function wrongMetadata(metadata: TableMetadata): string[] {
  const { tableSchema } = metadata;
  const context = metadata['@context'] as unknown[];
  const names = tableSchema.columns.map((column) => column.name);
  return [
    ...(context[0] === 'http://www.w3.org/ns/csvw' ? [] : ['@context must begin with the namespace']),
    ...(typeof metadata.url === 'string' ? [] : ['a table must have a url']),
    ...wrongKeys('Table', metadata, true, true),
    ...wrongKeys('Schema', tableSchema, true, true),
    ...wrongKeys('Dialect', metadata.dialect as object, false, false),
    ...(new Set(names).size === names.length ? [] : ['names of columns must differ']),
    ...(names.includes(tableSchema.primaryKey) ? [] : ['the primary key must be a column']),
    ...tableSchema.columns.flatMap((column) => [
      ...wrongKeys('Column', column, true, true),
      ...wrongKeys('Datatype', column.datatype, false, true),
      ...(/^[A-Za-z0-9][A-Za-z0-9_.]*$/.test(column.name)
        ? []
        : [`${column.name} is no variable name of a URI template`]),
      ...(BASES.includes(column.datatype.base) ? [] : [`${column.datatype.base} is no base`]),
    ]),
    ...wrongCommonValues(metadata['schema:additionalProperty'] as object[]),
  ];
}

/** Values of common properties: prefixed names or addresses as keys, no @list, no @set. */
function wrongCommonValues(values: readonly object[]): string[] {
  return values.flatMap((value) =>
    Object.keys(value)
      .filter((key) => key !== '@type' && !isCommon(key))
      .map((key) => `a common property must not hold ${key}`),
  );
}

/** What does not keep to its column in a table; the number format says how many decimals a field has. */
export function wrongFields(csv: string, { tableSchema }: TableMetadata): string[] {
  const { data, errors } = Papa.parse<string[]>(csv, { delimiter: ',', newline: '\r\n', skipEmptyLines: true });
  const [header, ...rows] = data;
  const wrong = errors.map((error) => error.message);
  const titles = tableSchema.columns.map((column) => column.titles);
  if (header.join() !== titles.join()) wrong.push('the header differs from the titles');
  const keys = new Set<string>();
  rows.forEach((row, r) => {
    if (row.length !== titles.length) wrong.push(`row ${r} has ${row.length} fields`);
    tableSchema.columns.forEach((column, c) => {
      const reason = wrongField(row[c], column);
      if (reason !== null) wrong.push(`row ${r}, ${column.name}: "${row[c]}" ${reason}`);
    });
    keys.add(row[titles.indexOf(tableSchema.primaryKey)]);
  });
  if (keys.size !== rows.length) wrong.push('the primary key is not unique');
  return wrong;
}

function wrongField(field: string, { datatype, required }: ColumnMetadata): string | null {
  if (field === '') return required ? 'is required' : null;
  const { base, format, minimum, maximum } = datatype;
  if (base === 'string') return new RegExp(`^(?:${format})$`).test(field) ? null : `is not ${format}`;
  const decimals = (format as string).split('.')[1]?.length ?? 0;
  const pattern = decimals === 0 ? /^-?\d+$/ : new RegExp(`^-?\\d+\\.\\d{${decimals}}$`);
  if (!pattern.test(field)) return `is not ${format}`;
  if (/^-0(\.0+)?$/.test(field)) return 'is a negative zero';
  if (minimum !== undefined && Number(field) < minimum) return `is below ${minimum}`;
  if (maximum !== undefined && Number(field) > maximum) return `is above ${maximum}`;
  return null;
}
