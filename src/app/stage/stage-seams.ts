// The seams of the plan on the stage: a ribbon and marks for each, and with the one that the cursor is on beam and arm.
import { Box3, Group, Vector3 } from 'three';
import type { PlanView, SeamView } from '../../output/view/plan-view.ts';
import { createArm } from './create-arm.ts';
import { createBeam } from './create-beam.ts';
import { createRibbon, type StageRibbon } from './create-ribbon.ts';
import { planQuantities, type Quantity } from './quantities.ts';
import { createSeamMarks, type SeamMarks } from './seam-marks.ts';
import type { StageTheme } from './theme.ts';

export interface StageSeams {
  readonly object: Group;
  /** What beam and arm take beyond the parts. */
  readonly box: Box3;
  /** The quantity along each seam; null where it has none. */
  readonly quantities: readonly (Quantity | null)[];
  /** `centre` is what the scene's points are counted from; the plan's may still be another. */
  setPlan(plan: PlanView | null, seam: number, colourBy: string, centre: readonly number[] | null): void;
  setCursor(row: number, show: { readonly arm: boolean; readonly beam: boolean }): void;
  dim(stale: boolean): void;
  recolour(theme: StageTheme): void;
  dispose(): void;
}

export function createStageSeams(): StageSeams {
  const object = new Group();
  const box = new Box3();
  const beam = createBeam();
  const arm = createArm();
  object.add(beam.object, arm.object);
  const made: { readonly ribbon: StageRibbon; readonly marks: SeamMarks }[] = [];
  let quantities: (Quantity | null)[] = [];
  let plan: PlanView | null = null;
  let active: SeamView | null = null;
  let theme: StageTheme | null = null;
  let stale = false;

  function resize(count: number): void {
    for (const { ribbon, marks } of made.splice(count)) {
      ribbon.object.removeFromParent();
      marks.object.removeFromParent();
      ribbon.dispose();
      marks.dispose();
    }
    while (made.length < count) {
      const entry = { ribbon: createRibbon(), marks: createSeamMarks() };
      if (theme !== null) for (const part of Object.values(entry)) part.recolour(theme);
      entry.ribbon.dim(stale);
      object.add(entry.ribbon.object, entry.marks.object);
      made.push(entry);
    }
  }

  return {
    object,
    box,
    get quantities() {
      return quantities;
    },
    setPlan(next, seam, colourBy, centre) {
      const own = next?.centre ?? [0, 0, 0];
      object.position.fromArray(own.map((value, c) => value - (centre?.[c] ?? value)));
      object.updateMatrixWorld();
      const seams = next?.seams ?? [];
      resize(seams.length);
      quantities = planQuantities(seams, colourBy);
      made.forEach(({ ribbon, marks }, k) => {
        ribbon.update(seams[k], quantities[k]);
        if (next !== plan) marks.update(seams[k], next?.findings ?? []);
      });
      plan = next;
      active = seams[seam] ?? null;
      arm.setArm(active?.arm ?? null);
      if (theme !== null) arm.recolour(theme);
    },
    setCursor(row, show) {
      box.makeEmpty();
      beam.update(show.beam ? active : null, row);
      const standing = active?.arm != null && arm.pose(row, show.arm, show.beam);
      arm.object.visible = standing;
      if (active !== null && beam.object.visible) {
        const head = new Vector3().fromArray(active.head, 3 * row).add(object.position);
        box.expandByPoint(head).expandByScalar(active.exitRadius);
      }
      if (standing) {
        arm.object.updateMatrixWorld(true);
        box.expandByObject(arm.object);
      }
    },
    dim(next) {
      stale = next;
      for (const { ribbon } of made) ribbon.dim(next);
    },
    recolour(next) {
      theme = next;
      for (const { ribbon, marks } of made) {
        ribbon.recolour(next);
        marks.recolour(next);
      }
      beam.recolour(next);
      arm.recolour(next);
    },
    dispose() {
      resize(0);
      beam.dispose();
      arm.dispose();
    },
  };
}
