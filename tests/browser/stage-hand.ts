// A hand on the stage that knows no more than a person does: it moves over the picture and reads the tag beside the pointer.
import type { Page } from 'playwright-core';

export interface Place {
  readonly x: number;
  readonly y: number;
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

/** Moves over the stage in steps until the tag names the edge. Throws where no step does. */
export async function pointOnEdge(page: Page, edge: string, step = 5): Promise<Place> {
  const box = await page.locator('.stage-canvas').boundingBox();
  if (box === null) throw new Error('there is no stage');
  // From the middle outward, along rows: what is looked for is in sight, and most likely far from the borders.
  for (let row = 0.5; row < 0.95; row += 0.07) {
    for (const y of row === 0.5 ? [row] : [row, 1 - row]) {
      for (let x = box.x + step; x < box.x + box.width; x += step) {
        const place = { x: Math.round(x), y: Math.round(box.y + y * box.height) };
        if ((await tagAt(page, place)) === edge) return place;
      }
    }
  }
  throw new Error(`the pointer finds no ${edge}`);
}
