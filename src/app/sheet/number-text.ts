// Numbers as people type them, held against the range of their field.
import { unitText } from '../chrome/unit-text.ts';
import type { FieldInfo } from './field-info.ts';

/** A number as short as it can stand without losing what matters on a screen. */
export const numberText = (value: number): string => String(Number(value.toPrecision(7)));

/** The same with a true minus, to read. */
const readText = (value: number): string => numberText(value).replace('-', '−');

/** `1 to 5000 mm`, `more than 0, up to 100 mm`; empty where there is no range. */
export function rangeText({ low, high, openLow, unit }: FieldInfo): string {
  const shown = unitText(unit);
  const behind = shown === '' ? '' : shown === '°' ? '°' : ` ${shown}`;
  if (low === null || high === null) return '';
  if (openLow) return `more than ${readText(low)}, up to ${readText(high)}${behind}`;
  return `${readText(low)} to ${readText(high)}${behind}`;
}

export type Typed =
  | { readonly kind: 'number'; readonly value: number }
  | { readonly kind: 'empty' }
  | { readonly kind: 'wrong'; readonly why: string };

/** What was typed: a decimal comma counts as a point, a true minus as a minus. */
export function readTyped(text: string, info: FieldInfo): Typed {
  const plain = text.trim().replace(',', '.').replace('−', '-');
  if (plain === '') return { kind: 'empty' };
  if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(plain)) return { kind: 'wrong', why: 'not a number' };
  const value = Number(plain);
  const { low, high, openLow, whole } = info;
  if (whole && !Number.isInteger(value)) return { kind: 'wrong', why: 'a whole number is needed' };
  const tooLow = low !== null && (openLow ? value <= low : value < low);
  if (tooLow || (high !== null && value > high)) return { kind: 'wrong', why: rangeText(info) };
  return { kind: 'number', value };
}

/** What an arrow key adds: the slider's step, else one of the last digits that matter. */
export function stepOf({ slider, whole, low, high }: FieldInfo, value: number): number {
  if (slider !== null) return slider[2];
  if (whole) return 1;
  const size = Math.max(Math.abs(value), 1e-3);
  const step = [1000, 100, 10, 1, 0.1, 0.01, 0.001].find((candidate) => candidate <= size / 10) ?? 0.0001;
  return low !== null && high !== null ? Math.min(step, (high - low) / 10) : step;
}

/** A value moved by `by`, kept in its range and free of the dust of binary fractions. */
export function nudge(value: number, by: number, { low, high, openLow }: FieldInfo): number {
  const moved = Number((value + by).toPrecision(10));
  const floor = low === null ? Number.NEGATIVE_INFINITY : openLow ? Math.max(low, Math.abs(by)) : low;
  return Math.min(high ?? Number.POSITIVE_INFINITY, Math.max(floor, moved));
}
