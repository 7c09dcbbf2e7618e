// Numbers as text: fixed decimals by ECMA-262 toFixed, which is exact in every engine, and nothing for the unknown.

/** Fixed decimals; empty where the value is not a finite number; never "-0". */
export function decimalText(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return '';
  const text = value.toFixed(decimals);
  return text.startsWith('-') && Number(text) === 0 ? text.slice(1) : text;
}

/** The value rounded to fixed decimals, for JSON: null where it is not a finite number; never -0. */
export function roundedNumber(value: number, decimals: number): number | null {
  return Number.isFinite(value) ? Number(value.toFixed(decimals)) + 0 : null;
}

/** The value rounded to twelve significant digits, for coefficients of no fixed size; null where it is not finite. */
export function significantNumber(value: number): number | null {
  return Number.isFinite(value) ? Number(value.toPrecision(12)) + 0 : null;
}
