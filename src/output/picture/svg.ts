// SVG as text: elements, escaped words, rounded numbers. No DOM.

const ESCAPES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

/** Text that may stand in an element or an attribute; characters that XML 1.0 forbids are left out. */
export const escapeText = (text: string): string =>
  Array.from(text)
    .filter((character) => character >= ' ' && character !== '\ufffe' && character !== '\uffff')
    .join('')
    .replace(/[&<>"]/g, (character) => ESCAPES[character]);

/** A length in pixels with at most two decimals. */
const pixels = (value: number): string => String(Number(value.toFixed(2)) + 0);

export type Attributes = Readonly<Record<string, string | number>>;

const attributesText = (attributes: Attributes): string =>
  Object.entries(attributes)
    .map(([name, value]) => ` ${name}="${typeof value === 'number' ? pixels(value) : escapeText(value)}"`)
    .join('');

/** An element; its children are text that is already SVG. */
export function element(name: string, attributes: Attributes, children: readonly string[] = []): string {
  const open = `<${name}${attributesText(attributes)}`;
  return children.length === 0 ? `${open}/>` : `${open}>${children.join('\n')}</${name}>`;
}

/** A group. */
export const group = (attributes: Attributes, children: readonly string[]): string =>
  children.length === 0 ? '' : element('g', attributes, ['', ...children, '']);

export const line = (x1: number, y1: number, x2: number, y2: number, attributes: Attributes): string =>
  element('line', { x1, y1, x2, y2, ...attributes });

export const rect = (x: number, y: number, width: number, height: number, attributes: Attributes): string =>
  element('rect', { x, y, width, height, ...attributes });

/** Path through points x, y, x, y ..; empty for fewer than two. */
export function pathThrough(points: ArrayLike<number>, closed: boolean): string {
  if (points.length < 4) return '';
  let d = '';
  for (let k = 0; k < points.length; k += 2) {
    d += `${k === 0 ? 'M' : 'L'}${pixels(points[k])},${pixels(points[k + 1])}`;
  }
  return closed ? `${d}Z` : d;
}
