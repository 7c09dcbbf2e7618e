// The axes of the part frame, as they stand in the picture.
import { type Camera, Vector3 } from 'three';

const SVG = 'http://www.w3.org/2000/svg';
const SIZE = 64;
const REACH = 22;

export interface Triad {
  draw(camera: Camera): void;
  dispose(): void;
}

export function createTriad(host: HTMLElement): Triad {
  const svg = document.createElementNS(SVG, 'svg');
  svg.setAttribute('class', 'stage-triad');
  svg.setAttribute('viewBox', `0 0 ${SIZE} ${SIZE}`);
  svg.setAttribute('aria-hidden', 'true');
  const axes = (['x', 'y', 'z'] as const).map((name, k) => {
    const line = document.createElementNS(SVG, 'line');
    const text = document.createElementNS(SVG, 'text');
    text.textContent = name;
    const group = document.createElementNS(SVG, 'g');
    group.setAttribute('class', name);
    group.append(line, text);
    svg.append(group);
    return { line, text, group, axis: new Vector3().setComponent(k, 1) };
  });
  host.append(svg);
  const seen = new Vector3();
  return {
    draw(camera) {
      const drawn = axes.map(({ line, text, group, axis }) => {
        seen.copy(axis).transformDirection(camera.matrixWorldInverse);
        const x = SIZE / 2 + seen.x * REACH;
        const y = SIZE / 2 - seen.y * REACH;
        line.setAttribute('x1', String(SIZE / 2));
        line.setAttribute('y1', String(SIZE / 2));
        line.setAttribute('x2', x.toFixed(1));
        line.setAttribute('y2', y.toFixed(1));
        text.setAttribute('x', (SIZE / 2 + seen.x * (REACH + 7)).toFixed(1));
        text.setAttribute('y', (SIZE / 2 - seen.y * (REACH + 7)).toFixed(1));
        const length = Math.hypot(seen.x, seen.y);
        group.setAttribute('opacity', length < 0.2 ? '0.25' : seen.z < -0.1 ? '0.55' : '1');
        return { group, depth: seen.z };
      });
      for (const { group } of drawn.sort((a, b) => a.depth - b.depth)) svg.append(group);
    },
    dispose() {
      svg.remove();
    },
  };
}
