// The tables of columns as Markdown, for people: the same tables that the files are made from.
import type { Column } from '../../src/output/column.ts';
import { PLACEMENT_COLUMNS } from '../../src/output/placement-columns.ts';
import { PLACEMENTS_FILE } from '../../src/output/placements.ts';
import { programColumns } from '../../src/output/program-columns.ts';
import { PROGRAM_FILE } from '../../src/output/program-csv.ts';
import { waypointColumns } from '../../src/output/waypoint-columns.ts';
import { WAYPOINTS_FILE } from '../../src/output/waypoints-csv.ts';

/** One document with a table for each file. */
export function columnDocs(): string {
  return [
    '# Columns',
    '',
    'Made from the tables in `src/output` by `npm run schemas`. Units are UCUM codes; a field is empty where its value is unknown. The columns of the axes, here six, and of the posture stand only in plans with an arm.',
    '',
    ...section(WAYPOINTS_FILE, waypointColumns(6)),
    '',
    ...section(PROGRAM_FILE, programColumns(6)),
    '',
    ...section(PLACEMENTS_FILE, PLACEMENT_COLUMNS),
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
