// Places labels beside their anchors in the picture so that none covers another. Greedy, most important first; what finds no room
// is left out, its mark stays.

export interface LabelBox {
  /** Anchor and size, pixels. */
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
  /** The higher goes first. */
  readonly priority: number;
}

export interface PlacedLabel {
  /** Top left corner, pixels. */
  readonly left: number;
  readonly top: number;
}

/** Room that is taken already, pixels. */
export interface Room {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Distance of a label from its anchor, and between two labels, pixels. */
const OFFSET = 12;
const GAP = 2;

/** Sides that are tried, best first: right, left, above, below, then the corners. */
const SIDES: readonly (readonly [number, number])[] = [
  [1, 0],
  [-1, 0],
  [0, -1],
  [0, 1],
  [1, -1],
  [-1, -1],
  [1, 1],
  [-1, 1],
];

/** Place of each label, or null where there is no room for it inside the picture and beside the obstacles. */
export function placeLabels(
  boxes: readonly LabelBox[],
  width: number,
  height: number,
  obstacles: readonly Room[] = [],
): (PlacedLabel | null)[] {
  const placed: (PlacedLabel | null)[] = boxes.map(() => null);
  const taken = [...obstacles];
  const order = boxes.map((_, k) => k).sort((a, b) => boxes[b].priority - boxes[a].priority || a - b);
  for (const k of order) {
    const box = boxes[k];
    for (const [sx, sy] of SIDES) {
      const left = box.x + sx * OFFSET + ((sx - 1) / 2) * box.width;
      const top = box.y + sy * OFFSET + ((sy - 1) / 2) * box.height;
      const right = left + box.width;
      const bottom = top + box.height;
      if (left < 0 || top < 0 || right > width || bottom > height) continue;
      const free = taken.every(
        (other) =>
          left >= other.right + GAP ||
          right <= other.left - GAP ||
          top >= other.bottom + GAP ||
          bottom <= other.top - GAP,
      );
      if (!free) continue;
      placed[k] = { left, top };
      taken.push({ left, top, right, bottom });
      break;
    }
  }
  return placed;
}
