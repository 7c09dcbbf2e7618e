// All files of a plan, in the order in which they are to be written: what refers to others comes last.
import type { Plan } from '../planner/plan.ts';
import { csvwText, metadataOf } from './csvw-text.ts';
import { SEAM_PICTURE_FILE, seamSvg } from './picture/seam-svg.ts';
import { PLAN_FILE, planJson } from './plan-json.ts';
import { axisCount } from './joint-columns.ts';
import { programColumns } from './program-columns.ts';
import { PROGRAM_FILE, programCsv, programWords } from './program-csv.ts';
import { waypointColumns } from './waypoint-columns.ts';
import { WAYPOINTS_FILE, waypointsCsv, waypointsWords } from './waypoints-csv.ts';

export interface OutputFile {
  /** Plain file name, no folder. */
  readonly name: string;
  readonly content: string;
}

/** The same plan gives the same text in every engine; `plan.json` is last. */
export function renderOutputs(plan: Plan): OutputFile[] {
  const axes = axisCount(plan);
  return [
    { name: WAYPOINTS_FILE, content: waypointsCsv(plan) },
    { name: metadataOf(WAYPOINTS_FILE), content: csvwText(waypointColumns(axes), waypointsWords(plan)) },
    { name: PROGRAM_FILE, content: programCsv(plan) },
    { name: metadataOf(PROGRAM_FILE), content: csvwText(programColumns(axes), programWords(plan)) },
    { name: SEAM_PICTURE_FILE, content: seamSvg(plan) },
    { name: PLAN_FILE, content: planJson(plan) },
  ];
}
