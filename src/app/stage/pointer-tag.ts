// A small tag that follows the pointer with what lies under it.

export interface PointerTag {
  /** The first line stands out. */
  show(x: number, y: number, lines: readonly string[]): void;
  hide(): void;
  dispose(): void;
}

/** Distance from the pointer, pixels. */
const OFF = 16;

export function createPointerTag(host: HTMLElement): PointerTag {
  const tag = document.createElement('div');
  tag.className = 'stage-tag';
  tag.setAttribute('aria-hidden', 'true');
  tag.hidden = true;
  host.append(tag);
  let text = '';
  return {
    show(x, y, lines) {
      const next = lines.join('\n');
      if (next !== text) {
        text = next;
        tag.replaceChildren(
          ...lines.map((line, k) => {
            const row = document.createElement(k === 0 ? 'strong' : 'span');
            row.textContent = line;
            return row;
          }),
        );
      }
      tag.hidden = false;
      const right = x + OFF + tag.offsetWidth < host.clientWidth;
      const below = y + OFF + tag.offsetHeight < host.clientHeight;
      const left = right ? x + OFF : x - OFF - tag.offsetWidth;
      const top = below ? y + OFF : y - OFF - tag.offsetHeight;
      tag.style.transform = `translate(${Math.round(Math.max(0, left))}px, ${Math.round(Math.max(0, top))}px)`;
    },
    hide() {
      tag.hidden = true;
    },
    dispose() {
      tag.remove();
    },
  };
}
