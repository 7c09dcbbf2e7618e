// waypoints.csv: every waypoint of every seam, by the table of columns; and the words of its metadata.
import type { Plan } from '../planner/plan.ts';
import { fieldOf } from './column.ts';
import { csvText } from './csv-text.ts';
import type { TableWords } from './csvw-text.ts';
import { frameNotes } from './frame-notes.ts';
import { rowFrames } from './row-frames.ts';
import { axisCount } from './joint-columns.ts';
import { waypointColumns } from './waypoint-columns.ts';

export const WAYPOINTS_FILE = 'waypoints.csv';

/** The file as text: RFC 4180, one line a waypoint; a value that could not be computed is empty. */
export function waypointsCsv(plan: Plan): string {
  const columns = waypointColumns(axisCount(plan));
  const rows: string[][] = [];
  for (const seam of plan.seams) {
    const frame = rowFrames(seam);
    for (let row = 0; row < seam.path.rows.count; row++) {
      const waypoint = { index: rows.length, seam, row, station: seam.path.rows.station[row], frame };
      rows.push(columns.map((column) => fieldOf(column, waypoint)));
    }
  }
  return csvText(
    columns.map((column) => column.name),
    rows,
  );
}

/** What the metadata of the waypoints says beside its columns. */
export function waypointsWords(plan: Plan): TableWords {
  return {
    file: WAYPOINTS_FILE,
    title: `${plan.job.title}: waypoints`,
    description:
      'One row a waypoint in the order they are driven, all positions and directions in the part frame. A field is empty where its value could not be computed.',
    properties: frameNotes(plan),
  };
}
