// Medians of repeated runs, and the table that is kept to compare with.
import { existsSync, readFileSync, writeFileSync } from 'node:fs';

export interface Row {
  readonly name: string;
  readonly median_ms: number;
  readonly low_ms: number;
  readonly high_ms: number;
  readonly runs: number;
}

/** Times `work` (`runs` times after one run that is not counted) and returns its row; `prepare` is not timed. */
export async function measure<T>(
  name: string,
  runs: number,
  work: (prepared: T) => unknown,
  prepare: () => T | Promise<T> = () => undefined as T,
): Promise<Row> {
  const times: number[] = [];
  for (let run = 0; run <= runs; run++) {
    const prepared = await prepare();
    const start = performance.now();
    await work(prepared);
    if (run > 0) times.push(performance.now() - start);
  }
  return rowOf(name, times);
}

/** A row from times in ms. */
export function rowOf(name: string, times: readonly number[]): Row {
  const sorted = [...times].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  const median = sorted.length % 2 === 1 ? at(sorted, middle) : (at(sorted, middle - 1) + at(sorted, middle)) / 2;
  return {
    name,
    median_ms: median,
    low_ms: at(sorted, 0),
    high_ms: at(sorted, sorted.length - 1),
    runs: sorted.length,
  };
}

function at(values: readonly number[], index: number): number {
  const value = values[index];
  if (value === undefined) throw new Error('no run was timed');
  return value;
}

interface Table {
  readonly machine: string;
  readonly rows: readonly Row[];
}

/** Prints the rows beside those of the kept table, then keeps them instead. */
export function printAndKeep(rows: readonly Row[], file: URL, machine: string): void {
  const before: Table | null = existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : null;
  const width = Math.max(...rows.map((row) => row.name.length));
  console.log(`${'ms'.padEnd(width)}    median      low     high  runs   before  ratio`);
  for (const row of rows) {
    const old = before?.rows.find((candidate) => candidate.name === row.name)?.median_ms;
    const compared = old === undefined ? '' : `${figure(old)}  ${(row.median_ms / old).toFixed(2).padStart(5)}`;
    const figures = [row.median_ms, row.low_ms, row.high_ms].map(figure).join(' ');
    console.log(`${row.name.padEnd(width)} ${figures}  ${String(row.runs).padStart(4)} ${compared}`);
  }
  if (before !== null && before.machine !== machine) console.log(`(before: ${before.machine}; now: ${machine})`);
  const kept = rows.map((row) => ({
    name: row.name,
    median_ms: tenths(row.median_ms),
    low_ms: tenths(row.low_ms),
    high_ms: tenths(row.high_ms),
    runs: row.runs,
  }));
  writeFileSync(file, `${JSON.stringify({ machine, rows: kept }, null, 2)}\n`);
}

const figure = (value: number): string => value.toFixed(1).padStart(8);
const tenths = (value: number): number => Number(value.toFixed(1));
