// Words in the picture: how wide they can get, where they break, and how they keep out of each other's way.
import { COLOUR } from './palette.ts';
import { element, escapeText } from './svg.ts';

export const FONT_FAMILY = "Inter, 'DejaVu Sans', 'Segoe UI', Helvetica, Arial, sans-serif";

export type Anchor = 'start' | 'middle' | 'end';

export interface LabelStyle {
  /** px */
  readonly size?: number;
  readonly weight?: 400 | 700;
  readonly anchor?: Anchor;
  readonly colour?: string;
  /** Sheet-coloured rim, for words that stand on a drawing. */
  readonly halo?: boolean;
}

const HALO = {
  'paint-order': 'stroke',
  stroke: COLOUR.sheet,
  'stroke-width': 4,
  'stroke-linejoin': 'round',
  'stroke-opacity': 0.85,
} as const;

/** Words at a baseline. */
export function label(x: number, y: number, text: string, style: LabelStyle = {}): string {
  const { size = 12, weight = 400, anchor = 'start', colour = COLOUR.ink, halo = false } = style;
  const attributes = {
    x,
    y,
    fill: colour,
    'font-size': size,
    ...(weight === 400 ? {} : { 'font-weight': weight }),
    ...(anchor === 'start' ? {} : { 'text-anchor': anchor }),
    ...(halo ? HALO : {}),
  };
  return element('text', attributes, [escapeText(text)]);
}

/** Widths per size of the widest family in the list (DejaVu Sans, its advance widths rounded up), regular weight. */
const NARROW = 0.42;
const WIDE = 0.86;
const COMMON = 0.64;
const BOLD = 1.12;

const widthOf = (character: string): number => {
  if (" .,:;'|!ijlI()[]{}tfr-".includes(character)) return NARROW;
  if ('mwMW@%+=<>~#'.includes(character)) return character === 'm' || character === 'M' || character === 'W' ? 1 : WIDE;
  return character >= 'A' && character <= 'Z' ? 0.8 : COMMON;
};

/** No line of text gets wider than this, px. */
export function textWidth(text: string, size: number, weight: 400 | 700 = 400): number {
  let width = 0;
  for (const character of text) width += widthOf(character);
  return width * size * (weight === 700 ? BOLD : 1);
}

/** Words broken into lines no wider than `width` px; a longer word stands alone. */
export function wrapText(text: string, size: number, width: number): string[] {
  const lines: string[] = [];
  let current = '';
  for (const word of text.split(/\s+/)) {
    const longer = current === '' ? word : `${current} ${word}`;
    if (current !== '' && textWidth(longer, size) > width) {
      lines.push(current);
      current = word;
    } else current = longer;
  }
  return current === '' ? lines : [...lines, current];
}

/** The text itself, or cut with an ellipsis so that it is no wider than `width` px. */
export function fitText(text: string, size: number, width: number, weight: 400 | 700 = 400): string {
  if (textWidth(text, size, weight) <= width) return text;
  const characters = Array.from(text);
  while (characters.length > 1 && textWidth(`${characters.join('')}..`, size, weight) > width) characters.pop();
  return `${characters.join('').trimEnd()}..`;
}

/** A taken stretch of the picture. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** The box of words at a baseline, with two pixels of air. */
export function labelBox(
  x: number,
  y: number,
  text: string,
  { size = 12, weight = 400, anchor = 'start' }: LabelStyle,
): Box {
  const width = textWidth(text, size, weight);
  const left = anchor === 'start' ? x : anchor === 'middle' ? x - width / 2 : x - width;
  return { x: left - 2, y: y - size, width: width + 4, height: 1.3 * size };
}

export const overlaps = (a: Box, b: Box): boolean =>
  a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

/** Keeps what is taken, and takes more where there is room. */
export interface Places {
  /** Takes the box and says so, or leaves it and says no; when `strict` also where words had better not stand. */
  take(box: Box, strict?: boolean): boolean;
  /** Words had better not stand here. */
  avoid(box: Box): void;
}

/** Room inside `bounds`. */
export function createPlaces(bounds: Box): Places {
  const taken: Box[] = [];
  const avoided: Box[] = [];
  return {
    avoid: (box) => avoided.push(box),
    take(box, strict = false) {
      const inside =
        box.x >= bounds.x &&
        box.y >= bounds.y &&
        box.x + box.width <= bounds.x + bounds.width &&
        box.y + box.height <= bounds.y + bounds.height;
      if (!inside || taken.some((other) => overlaps(other, box))) return false;
      if (strict && avoided.some((other) => overlaps(other, box))) return false;
      taken.push(box);
      return true;
    },
  };
}

/** Heights moved apart so that neighbours keep `gap`, inside low .. high as far as they fit; same order as given. */
export function spreadApart(heights: readonly number[], gap: number, low: number, high: number): number[] {
  const order = heights.map((_, k) => k).sort((a, b) => heights[a] - heights[b] || a - b);
  const out = [...heights];
  let floor = low;
  for (const k of order) {
    out[k] = Math.max(out[k], floor);
    floor = out[k] + gap;
  }
  let ceiling = high;
  for (const k of order.reverse()) {
    out[k] = Math.min(out[k], ceiling);
    ceiling = out[k] - gap;
  }
  return out;
}
