// Units as people write them: the tables of the kernel spell them in plain letters.

const SHOWN: readonly (readonly [RegExp, string])[] = [
  [/\bdegC\b|\bCel\b/g, '°C'],
  [/\bdeg\b/g, '°'],
  [/\b(mm|s)2\b/g, '$1²'],
  [/\b(mm|s)3\b/g, '$1³'],
  [/^1$/, ''],
  [/^\/mm$/, '1/mm'],
];

/** `deg/s2` -> `°/s²`, `degC` -> `°C`; a pure number has none. */
export const unitText = (unit: string): string => SHOWN.reduce((text, [from, to]) => text.replace(from, to), unit);

/** The unit without the words behind it: `mm along the beam` -> `mm`, `times the spot` -> `×`. */
export const bareUnit = (unit: string): string => unitText(unit).split(' ')[0].replace('times', '×');

/** A number with fixed decimals and a true minus; a dash where it is not known. */
export function fixedText(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return '–';
  const text = value.toFixed(decimals);
  return (/^-0(\.0*)?$/.test(text) ? text.slice(1) : text).replace('-', '−');
}

const IN_SENTENCES: readonly (readonly [RegExp, string])[] = [
  [/(?<![\w.)\]–−-])-(?=\d)/g, '−'],
  [/(\d) deg\b/g, '$1°'],
  [/\bdeg\//g, '°/'],
  [/\bdegC\b/g, '°C'],
  [/\bmm2\b/g, 'mm²'],
  [/\/s2\b/g, '/s²'],
];

/** A sentence of the kernel, its minus signs and units set as everywhere on the screen. */
export const sentenceText = (text: string): string =>
  IN_SENTENCES.reduce((set, [from, to]) => set.replace(from, to), text);

/** A number with its unit behind; degrees and percent of an angle stand close. */
export function quantityText(value: number, decimals: number, unit: string): string {
  const shown = unitText(unit);
  if (shown === '') return fixedText(value, decimals);
  return `${fixedText(value, decimals)}${shown === '°' ? '' : ' '}${shown}`;
}

/** Decimals that show a value to about three digits. */
export function sensibleDecimals(value: number): number {
  const size = Math.abs(value);
  if (!(size > 0) || size >= 100) return size >= 100 || size === 0 ? 0 : 2;
  return size >= 10 ? 1 : size >= 1 ? 2 : 3;
}
