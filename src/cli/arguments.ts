// The command line's words: which command, which file, which options. Anything else is bad usage.
import { parseArgs } from 'node:util';
import type { MM_PER_UNIT } from '../model/parse-job.ts';

export type Command =
  | {
      readonly name: 'plan';
      readonly job: string;
      readonly out: string;
      readonly json: boolean;
      readonly progress: boolean;
    }
  | {
      readonly name: 'place';
      readonly job: string;
      /** Empty where nothing is to be written. */
      readonly out: string;
      /** 0 for one on each core. */
      readonly workers: number;
      readonly json: boolean;
      readonly progress: boolean;
    }
  | { readonly name: 'check'; readonly job: string; readonly json: boolean; readonly progress: boolean }
  | { readonly name: 'calibrate'; readonly trial: string; readonly json: boolean; readonly progress: boolean }
  | {
      readonly name: 'inspect';
      readonly file: string;
      readonly unit: keyof typeof MM_PER_UNIT | '';
      readonly json: boolean;
      readonly progress: boolean;
    }
  | {
      readonly name: 'open';
      /** Empty for none. */
      readonly job: string;
      /** 0 for any. */
      readonly port: number;
      readonly browser: boolean;
    }
  | { readonly name: 'help' }
  | { readonly name: 'version' };

/** Bad usage: exit code 2. */
export class UsageError extends Error {
  override readonly name = 'UsageError';
}

export const HELP = `raythread: plans laser transmission welding seams from CAD

  raythread plan JOB --out DIR [--json] [--progress]
      plans the job, writes waypoints.csv, program.csv, seam.svg, heat.glb,
      process-window.svg and plan.json into DIR, prints a summary and the
      findings
  raythread check JOB [--json] [--progress]
      the same without outputs
  raythread place JOB [--out DIR] [--workers N] [--json] [--progress]
      searches the job's box of placements for those where the arm does the
      seams best, on all cores or N, prints the ranking, and writes
      placements.csv and placements.json into DIR
  raythread calibrate TRIAL [--json] [--progress]
      fits the absorption of a material, or the share of the power that is
      delivered, to weld trials (measured width, or onset of melting), and
      prints the records for a job
  raythread inspect FILE [--unit mm|cm|m|in] [--json] [--progress]
      bodies, faces and edges of a CAD file: what a selection needs

  raythread open [JOB] [--port N] [--browser]
      serves the page on this machine only, prints its address, and opens it in
      the browser if asked to; with JOB, the page begins with that job

  --json      one JSON object on standard output (errors: on standard error)
  --progress  says how far it is on standard error, also away from a terminal
  --help, --version

Exit codes: 0 nothing blocks, 1 a finding blocks, or every placement is
blocked (outputs are written and say so), 2 bad usage, 3 bad input (nothing is
written), 4 cancelled, 5 a fault of this program.

A plan is a calculation, not a release: prove it at reduced speed with the beam
off, inside a guarded enclosure, under the persons responsible for laser and
machine safety and the rules in force at your place.
`;

const NAMES = ['plan', 'check', 'place', 'inspect', 'calibrate', 'open'] as const;

const isCommandName = (name: string | undefined): name is (typeof NAMES)[number] =>
  NAMES.some((known) => known === name);

/** Reads the words after the program's name; throws UsageError. */
export function readArguments(words: readonly string[]): Command {
  const { values, positionals } = parse(words);
  if (values.help || words.length === 0) return { name: 'help' };
  if (values.version) return { name: 'version' };
  const [name, file, ...rest] = positionals;
  if (!isCommandName(name)) {
    throw new UsageError(name === undefined ? 'no command given' : `there is no command "${name}"`);
  }
  if (rest.length > 0) throw new UsageError(`"${name}" takes one file, not also "${rest[0]}"`);
  const json = values.json ?? false;
  const progress = values.progress ?? false;
  if (values.out !== undefined && name !== 'plan' && name !== 'place') {
    throw new UsageError('--out goes with "plan" and "place" only');
  }
  if (values.workers !== undefined && name !== 'place') throw new UsageError('--workers goes with "place" only');
  if (values.unit !== undefined && name !== 'inspect') throw new UsageError('--unit goes with "inspect" only');
  if ((values.port !== undefined || values.browser === true) && name !== 'open') {
    throw new UsageError('--port and --browser go with "open" only');
  }
  if (name === 'open') return { name, job: file ?? '', port: readPort(values.port), browser: values.browser ?? false };
  if (file === undefined) throw new UsageError(`"${name}" needs a file`);
  if (name === 'calibrate') return { name, trial: file, json, progress };
  if (name === 'check') return { name, job: file, json, progress };
  if (name === 'inspect') return { name, file, unit: readUnit(values.unit), json, progress };
  if (name === 'place') {
    if (values.out === '') throw new UsageError('--out needs a folder');
    return { name, job: file, out: values.out ?? '', workers: readWorkers(values.workers), json, progress };
  }
  if (values.out === undefined || values.out === '') throw new UsageError('"plan" needs --out DIR');
  return { name, job: file, out: values.out, json, progress };
}

function parse(words: readonly string[]) {
  try {
    return parseArgs({
      args: [...words],
      allowPositionals: true,
      strict: true,
      options: {
        out: { type: 'string' },
        unit: { type: 'string' },
        workers: { type: 'string' },
        port: { type: 'string' },
        browser: { type: 'boolean' },
        json: { type: 'boolean' },
        progress: { type: 'boolean' },
        help: { type: 'boolean', short: 'h' },
        version: { type: 'boolean' },
      },
    });
  } catch (error) {
    throw new UsageError(error instanceof Error ? (error.message.split('\n')[0] ?? '') : String(error));
  }
}

function readUnit(unit: string | undefined): keyof typeof MM_PER_UNIT | '' {
  if (unit === undefined) return '';
  if (unit === 'mm' || unit === 'cm' || unit === 'm' || unit === 'in') return unit;
  throw new UsageError(`--unit is mm, cm, m or in, not "${unit}"`);
}

/** Most worker threads that anyone can mean. */
const MOST_WORKERS = 256;

function readWorkers(text: string | undefined): number {
  if (text === undefined) return 0;
  const count = /^\d{1,3}$/.test(text) ? Number(text) : 0;
  if (count >= 1 && count <= MOST_WORKERS) return count;
  throw new UsageError(`--workers is a whole number from 1 to ${MOST_WORKERS}, not "${text}"`);
}

function readPort(text: string | undefined): number {
  if (text === undefined) return 0;
  const port = /^\d{1,5}$/.test(text) ? Number(text) : 0;
  if (port >= 1 && port <= 65_535) return port;
  throw new UsageError(`--port is a whole number from 1 to 65535, not "${text}"`);
}
