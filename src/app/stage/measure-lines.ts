// Two measured points, the way between them and its parts along the axes.
import { Group } from 'three';
import { createFatLines } from './fat-lines.ts';
import type { MeasurePoint } from './measure.ts';
import type { StageTheme } from './theme.ts';

export interface MeasureLines {
  readonly object: Group;
  update(points: readonly MeasurePoint[]): void;
  recolour(theme: StageTheme): void;
  dispose(): void;
}

export function createMeasureLines(): MeasureLines {
  const object = new Group();
  const way = createFatLines({ linewidth: 2, opacity: 0.99, depthTest: false, renderOrder: 20 });
  const steps = createFatLines({ linewidth: 1, opacity: 0.6, depthTest: false, renderOrder: 19 });
  object.add(way.object, steps.object);
  return {
    object,
    update(points) {
      if (points.length < 2) {
        way.setChains([]);
        steps.setChains([]);
        return;
      }
      const [{ point: a }, { point: b }] = points;
      way.setChains([[...a, ...b]]);
      steps.setChains([[...a, b[0], a[1], a[2], b[0], b[1], a[2], ...b]]);
    },
    recolour(theme) {
      way.material.color.copy(theme.ink);
      steps.material.color.copy(theme.quiet);
    },
    dispose() {
      way.dispose();
      steps.dispose();
    },
  };
}
