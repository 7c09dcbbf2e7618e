// Points of a digitised seam: a CSV file as measuring machines and teach pendants write it, read with its line numbers.
import Papa from 'papaparse/papaparse.js';
import { InputError } from './input-error.ts';

export interface PointList {
  readonly file: string;
  /** In the order of the seam, 3 x n, mm, part frame. */
  readonly position: Float64Array;
  /** Line of the file that each came from, n, counted from 1. */
  readonly line: Uint32Array;
}

const COLUMNS = ['x_mm', 'y_mm', 'z_mm'] as const;

/** Column that gives the order along the seam where the lines do not. */
const ORDER = 's_mm';

/** Coordinates beyond this, mm, are no part's. */
const FARTHEST = 1e6;

const NUMBER = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/;

/**
 * Reads the columns x_mm, y_mm, z_mm; with a column s_mm the points are put in its order. Other columns, empty lines and
 * lines that begin with # are passed over. Throws InputError `points-columns`, `points-value`, `points-few`.
 */
export function readPointList(text: string, file: string): PointList {
  const lines = text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/);
  const used = lines.flatMap((line, i) => (line.trim() === '' || line.trimStart().startsWith('#') ? [] : [i]));
  if (used.length === 0) throw columnsMissing(file, 'it is empty');
  const { data, errors } = Papa.parse<string[]>(used.map((i) => lines[i]).join('\n'), { skipEmptyLines: false });
  const quotes = errors.find((error) => error.type === 'Quotes');
  if (quotes !== undefined) {
    const at = `${file}:${used[quotes.row ?? 0] + 1}`;
    throw new InputError('points-value', 'a quotation mark is not closed', at, 'write plain numbers without quotes');
  }
  const head = data[0].map((name) => name.trim());
  const at = COLUMNS.map((name) => head.indexOf(name));
  const missing = COLUMNS.filter((_, k) => at[k] < 0);
  if (missing.length > 0) throw columnsMissing(file, `it has no column ${missing.join(', ')}`);
  const twice = [...COLUMNS, ORDER].find((name) => head.indexOf(name) !== head.lastIndexOf(name));
  if (twice !== undefined) throw columnsMissing(file, `it has the column ${twice} twice`);
  const order = head.indexOf(ORDER);
  const rows = data.slice(1).map((cells, i) => {
    const line = used[i + 1] + 1;
    const numberIn = (column: number): number => readNumber(cells[column] ?? '', head[column], `${file}:${line}`);
    return { line, point: at.map(numberIn), s: order < 0 ? i : numberIn(order) };
  });
  if (rows.length < 2) {
    const sentence = `the file has ${rows.length === 0 ? 'no points' : 'one point'}`;
    throw new InputError('points-few', sentence, file, 'give at least four points along the seam');
  }
  // Equal places keep the order of their lines.
  if (order >= 0) rows.sort((a, b) => a.s - b.s || a.line - b.line);
  return {
    file,
    position: Float64Array.from(rows.flatMap(({ point }) => point)),
    line: Uint32Array.from(rows, ({ line }) => line),
  };
}

function readNumber(cell: string, column: string, place: string): number {
  const text = cell.trim();
  const value = NUMBER.test(text) ? Number(text) : Number.NaN;
  if (Number.isFinite(value) && Math.abs(value) <= FARTHEST) return value;
  const shown = text.replace(/[^\x20-\x7e]/g, '?').slice(0, 40);
  const what = text === '' ? `${column} is empty` : `${column} is "${shown}", not a length`;
  throw new InputError('points-value', what, place, 'give every point three numbers in mm, with a decimal point');
}

function columnsMissing(file: string, why: string): InputError {
  const hint = 'begin with a line that names the columns: x_mm,y_mm,z_mm, and s_mm where the lines are in no order';
  return new InputError('points-columns', `the file holds no points: ${why}`, file, hint);
}
