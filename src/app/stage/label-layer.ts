// Labels and marks over the picture, as HTML: they face the person, never cover each other, and step back where the part hides them.
import type { Vector3 } from 'three';
import type { Severity } from '../../model/finding.ts';
import { placeLabels, type Room } from './place-labels.ts';
import { project, type Screen } from './screen-space.ts';

export interface StageLabel {
  readonly id: string;
  readonly anchor: Vector3;
  /** Shown beside the anchor where there is room; empty for a mark alone. */
  readonly text: string;
  /** A shape on the anchor itself. */
  readonly mark: Severity | 'point' | null;
  readonly priority: number;
  /** Stays even where the part hides its anchor. */
  readonly always?: boolean;
  /** Read out, and shown on hover. */
  readonly title?: string;
  readonly act?: () => void;
}

export interface LabelLayer {
  set(labels: readonly StageLabel[]): void;
  draw(screen: Screen, isHidden: (point: Vector3) => boolean): void;
  dispose(): void;
}

interface Shown {
  readonly label: StageLabel;
  readonly mark: HTMLElement | null;
  readonly text: HTMLElement | null;
  /** Measured once. */
  readonly width: number;
  readonly height: number;
}

/** Half the room that a mark takes, pixels. */
const MARK = 7;

export function createLabelLayer(host: HTMLElement): LabelLayer {
  const layer = document.createElement('div');
  layer.className = 'stage-labels';
  host.append(layer);
  let shown: Shown[] = [];
  const at = new Float64Array(3);

  function make(label: StageLabel): Shown {
    const mark = label.mark === null ? null : makeMark(label);
    let text: HTMLElement | null = null;
    if (label.text !== '') {
      text = document.createElement('span');
      text.className = 'stage-label';
      text.textContent = label.text;
      layer.append(text);
    }
    return { label, mark, text, width: text?.offsetWidth ?? 0, height: text?.offsetHeight ?? 0 };
  }

  function makeMark({ id, mark: shape, title, act }: StageLabel): HTMLElement {
    const mark = document.createElement(act === undefined ? 'span' : 'button');
    mark.className = `stage-mark ${shape}`;
    if (mark instanceof HTMLButtonElement) {
      mark.type = 'button';
      // The list of findings is the way for the keyboard.
      mark.tabIndex = -1;
    }
    if (title !== undefined) {
      mark.title = title;
      mark.setAttribute('aria-label', title);
    }
    mark.addEventListener('click', () => shown.find(({ label }) => label.id === id)?.label.act?.());
    layer.append(mark);
    return mark;
  }

  return {
    set(labels) {
      const before = new Map(shown.map((entry) => [entry.label.id, entry]));
      shown = labels.map((label) => {
        const old = before.get(label.id);
        if (old === undefined || !sameElements(old.label, label)) return make(label);
        before.delete(label.id);
        return { ...old, label };
      });
      for (const { mark, text } of before.values()) {
        mark?.remove();
        text?.remove();
      }
    },
    draw(screen, isHidden) {
      const places = shown.map(({ label: { anchor, always } }) => {
        if (!project(screen, anchor.x, anchor.y, anchor.z, at)) return null;
        const inside = at[0] > 0 && at[1] > 0 && at[0] < screen.width && at[1] < screen.height;
        return inside ? { x: at[0], y: at[1], hidden: always !== true && isHidden(anchor) } : null;
      });
      const rooms = roomsOver(host);
      shown.forEach(({ mark }, k) => {
        const place = places[k];
        if (mark === null) return;
        mark.hidden = place === null;
        if (place === null) return;
        mark.classList.toggle('behind', place.hidden);
        mark.style.transform = `translate(${place.x.toFixed(1)}px, ${place.y.toFixed(1)}px) translate(-50%, -50%)`;
        rooms.push({ left: place.x - MARK, top: place.y - MARK, right: place.x + MARK, bottom: place.y + MARK });
      });
      const wanted = shown.map((_, k) => k).filter((k) => shown[k].text !== null && places[k]?.hidden === false);
      const boxes = wanted.map((k) => ({
        x: places[k]?.x ?? 0,
        y: places[k]?.y ?? 0,
        width: shown[k].width,
        height: shown[k].height,
        priority: shown[k].label.priority,
      }));
      const placed = placeLabels(boxes, screen.width, screen.height, rooms);
      for (const { text } of shown) if (text !== null) text.hidden = true;
      wanted.forEach((k, i) => {
        const { text } = shown[k];
        const place = placed[i];
        if (text === null || place === null) return;
        text.hidden = false;
        text.style.transform = `translate(${Math.round(place.left)}px, ${Math.round(place.top)}px)`;
      });
    },
    dispose() {
      layer.remove();
    },
  };
}

/** Where the page has something standing over the picture. */
function roomsOver(host: HTMLElement): Room[] {
  const frame = host.getBoundingClientRect();
  return [...(host.parentElement?.querySelectorAll('[data-over-stage]') ?? [])].map((element) => {
    const { left, top, right, bottom } = element.getBoundingClientRect();
    return { left: left - frame.left, top: top - frame.top, right: right - frame.left, bottom: bottom - frame.top };
  });
}

/** What is shown of both is the same; only the place may differ. */
function sameElements(a: StageLabel, b: StageLabel): boolean {
  return a.text === b.text && a.mark === b.mark && a.title === b.title;
}
