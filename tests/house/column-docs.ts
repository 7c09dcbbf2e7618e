// The tables of columns as Markdown, for people: the same tables that the files are made from.
import type { Column } from '../../src/output/column.ts';
import { PROGRAM_COLUMNS } from '../../src/output/program-columns.ts';
import { PROGRAM_FILE } from '../../src/output/program-csv.ts';
import { WAYPOINT_COLUMNS } from '../../src/output/waypoint-columns.ts';
import { WAYPOINTS_FILE } from '../../src/output/waypoints-csv.ts';

/** One document with a table for each file. */
export function columnDocs(): string {
  return [
    '# Columns',
    '',
    'Made from the tables in `src/output` by `npm run schemas`. Units are UCUM codes; a field is empty where its value is unknown.',
    '',
    ...section(WAYPOINTS_FILE, WAYPOINT_COLUMNS),
    '',
    ...section(PROGRAM_FILE, PROGRAM_COLUMNS),
    '',
  ].join('\n');
}

function section<Row>(file: string, columns: readonly Column<Row>[]): string[] {
  return [
    `## ${file}`,
    '',
    '| column | unit | decimals | meaning |',
    '|---|---|---|---|',
    ...columns.map(({ name, quantity, description }) => {
      const unit = quantity === null ? 'text' : quantity.unit;
      return `| \`${name}\` | ${unit} | ${quantity?.decimals ?? ''} | ${description.replaceAll('|', '\\|')} |`;
    }),
  ];
}
