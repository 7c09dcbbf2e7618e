// All files of a plan, in the order in which they are to be written: what refers to others comes last.
import type { Plan } from '../planner/plan.ts';
import { csvwText, metadataOf } from './csvw-text.ts';
import { HEAT_FILE, heatGlb } from './heat-glb.ts';
import { PROCESS_WINDOW_FILE, processWindowSvg } from './picture/process-window-svg.ts';
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
  readonly content: string | Uint8Array;
}

/** The same plan gives the same bytes in every engine; `plan.json` is last. Heat is left out where it could not be computed. */
export function renderOutputs(plan: Plan): OutputFile[] {
  const axes = axisCount(plan);
  return [
    { name: WAYPOINTS_FILE, content: waypointsCsv(plan) },
    { name: metadataOf(WAYPOINTS_FILE), content: csvwText(waypointColumns(axes), waypointsWords(plan)) },
    { name: PROGRAM_FILE, content: programCsv(plan) },
    { name: metadataOf(PROGRAM_FILE), content: csvwText(programColumns(axes), programWords(plan)) },
    { name: SEAM_PICTURE_FILE, content: seamSvg(plan) },
    ...windowFiles(plan),
    ...heatFiles(plan),
    { name: PLAN_FILE, content: planJson(plan) },
  ];
}

/** The process window of each seam; the first has the plain name, the others their number in it. */
function windowFiles(plan: Plan): OutputFile[] {
  return plan.seams.flatMap(({ window, seam }, k) => {
    if (window === null) return [];
    const name = k === 0 ? PROCESS_WINDOW_FILE : PROCESS_WINDOW_FILE.replace('.svg', `-${k + 1}.svg`);
    return [{ name, content: processWindowSvg(window, `seam ${seam.name}`) }];
  });
}

function heatFiles(plan: Plan): OutputFile[] {
  const content = heatGlb(plan);
  return content === null ? [] : [{ name: HEAT_FILE, content }];
}
