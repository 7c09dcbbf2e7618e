// Goes to a field of the sheet: opens what it is folded in, brings it into sight and gives it the focus.
import { pageStore } from '../store/page-store.ts';

/** Sections that hold more than what they are named after. */
const SECTION: Readonly<Record<string, string>> = {
  seams: 'seam',
  placement: 'arm',
  travel: 'arm',
  tessellation: 'parts',
};

/** Frames until a section that was just opened must have its lines. */
const FRAMES = 12;

export function goToField(pointer: string): void {
  if (document.querySelector('.sheet') === null) pageStore.getState().set({ side: 'job' });
  seek(pointer, FRAMES);
}

function seek(pointer: string, frames: number): void {
  const root = /^\/seams\/\d+\/(head|process)\//.exec(pointer)?.[1] ?? pointer.split('/')[1];
  const section = document.querySelector<HTMLDetailsElement>(`details[data-section^="${SECTION[root] ?? root}"]`);
  if (section !== null) section.open = true;
  const line = section?.querySelector<HTMLElement>(`[data-pointer="${pointer}"]`) ?? null;
  if (line === null && frames > 0) {
    requestAnimationFrame(() => seek(pointer, frames - 1));
    return;
  }
  const place = line ?? section;
  for (let fold = place?.closest('details'); fold != null; fold = fold.parentElement?.closest('details')) {
    fold.open = true;
  }
  place?.scrollIntoView({ block: 'center' });
  place?.querySelector<HTMLElement>('input, select, summary')?.focus({ preventScroll: true });
}
