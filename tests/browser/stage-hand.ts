// A hand on the stage that knows no more than a person does: it moves over the picture and reads the tag beside the pointer.
import type { Page } from 'playwright-core';

export interface Place {
  readonly x: number;
  readonly y: number;
}

export interface Box extends Place {
  readonly width: number;
  readonly height: number;
}

/** Where the stage's picture lies on the page. */
export async function stageBox(page: Page): Promise<Box> {
  const box = await page.locator('.stage-canvas').boundingBox();
  if (box === null) throw new Error('there is no stage');
  return box;
}

/** The first line of the tag at the pointer, after moving there; null where it says nothing. */
export async function tagAt(page: Page, { x, y }: Place): Promise<string | null> {
  await page.mouse.move(x, y);
  return page.evaluate(
    () =>
      new Promise<string | null>((resolve) => {
        const read = (): void => {
          const tag = document.querySelector<HTMLElement>('.stage-tag');
          resolve(tag === null || tag.hidden ? null : (tag.querySelector('strong')?.textContent ?? null));
        };
        // Asked for in the frame after the move, drawn in the one after that.
        requestAnimationFrame(() => requestAnimationFrame(read));
      }),
  );
}

export interface Tagged {
  readonly tag: string;
  readonly place: Place;
}

/** Moves over the stage in steps until the tag says what is looked for; null where it never does. `rows` in shares of the height. */
export async function findTag(
  page: Page,
  wanted: (tag: string) => boolean,
  { rows = ROWS, step = 5 }: { readonly rows?: readonly number[]; readonly step?: number } = {},
): Promise<Tagged | null> {
  const box = await stageBox(page);
  for (const row of rows) {
    for (let x = box.x + step; x < box.x + box.width; x += step) {
      const place = { x: Math.round(x), y: Math.round(box.y + row * box.height) };
      const tag = await tagAt(page, place);
      if (tag !== null && wanted(tag)) return { tag, place };
    }
  }
  return null;
}

/** From the middle outward: what is looked for is in sight, and most likely far from the borders. */
const ROWS = [0.5, 0.57, 0.43, 0.64, 0.36, 0.71, 0.29, 0.78, 0.22, 0.85, 0.15];

/** A place from which a click picks the edge. Throws where there is none. */
export async function pointOnEdge(page: Page, edge: string, step = 5): Promise<Place> {
  const found = await findTag(page, (tag) => tag === edge, { step });
  if (found === null) throw new Error(`the pointer finds no ${edge}`);
  return found.place;
}
