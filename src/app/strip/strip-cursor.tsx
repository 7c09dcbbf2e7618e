// The cursor: a hairline through all tracks, moved with the pointer and the arrow keys; the stage follows it.
import { type KeyboardEvent, type PointerEvent, useRef } from 'react';
import { PHASES } from '../../model/path.ts';
import type { SeamView } from '../../output/view/plan-view.ts';
import { fixedText } from '../chrome/unit-text.ts';
import { rowNear } from '../stage/row-at.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import type { StripScale } from './strip-scale.ts';
import { WORDS } from './strip-scale.ts';

interface CursorProps {
  readonly seam: SeamView;
  readonly x: StripScale;
}

export function Cursor({ seam, x }: CursorProps) {
  const row = usePage((state) => Math.min(state.row, seam.count - 1));
  const area = useRef<HTMLDivElement>(null);
  const goTo = (event: PointerEvent): void => {
    const left = area.current?.getBoundingClientRect().left ?? 0;
    pageStore.getState().set({ row: rowNear(seam.s, x.invert(event.clientX - left)), playing: false });
  };
  return (
    <>
      <span className="hairline" style={{ left: WORDS, transform: `translateX(${x(seam.s[row])}px)` }} />
      <div
        ref={area}
        className="cursor-area"
        role="slider"
        tabIndex={0}
        aria-label={`Place along seam ${seam.name}`}
        aria-valuemin={0}
        aria-valuemax={seam.count - 1}
        aria-valuenow={row}
        aria-valuetext={placeWords(seam, row)}
        style={{ left: WORDS, width: x.range()[1] }}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          goTo(event);
        }}
        onPointerMove={(event) => {
          if (event.currentTarget.hasPointerCapture(event.pointerId)) goTo(event);
        }}
        onKeyDown={(event) => moveByKey(event, seam, row)}
      />
    </>
  );
}

/** The head of the hairline, on the axis of time, which stays in sight. */
export function CursorHead({ seam, x }: CursorProps) {
  const row = usePage((state) => Math.min(state.row, seam.count - 1));
  return <span className="cursor-head" style={{ left: WORDS, transform: `translateX(${x(seam.s[row])}px)` }} />;
}

const placeWords = (seam: SeamView, row: number): string =>
  `${fixedText(seam.s[row], 1)} mm, ${fixedText(seam.time[row], 2)} s, ${PHASES[seam.phase[row]]}`;

function moveByKey(event: KeyboardEvent, { count }: SeamView, row: number): void {
  const far = Math.max(10, Math.round(count / 20));
  const by: Readonly<Record<string, number>> = {
    ArrowRight: event.shiftKey ? 10 : 1,
    ArrowUp: event.shiftKey ? 10 : 1,
    ArrowLeft: event.shiftKey ? -10 : -1,
    ArrowDown: event.shiftKey ? -10 : -1,
    PageUp: far,
    PageDown: -far,
    Home: -count,
    End: count,
  };
  const step = by[event.key];
  if (step === undefined) return;
  event.preventDefault();
  pageStore.getState().set({ row: Math.min(count - 1, Math.max(0, row + step)), playing: false });
}
