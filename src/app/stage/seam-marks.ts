// What stands beside the ribbon: run-in and run-out as thin lines, where the seam starts, which way it is driven, and the stretches
// that findings speak of.
import { BufferAttribute, BufferGeometry, DoubleSide, Group, Mesh, MeshBasicMaterial } from 'three';
import type { Finding, Severity } from '../../model/finding.ts';
import type { SeamView } from '../../output/view/plan-view.ts';
import { createFatLines } from './fat-lines.ts';
import { directionArrows, liftOf, rowsOf, sideLine } from './ribbon-mesh.ts';
import { rowAt } from './row-at.ts';
import type { StageTheme } from './theme.ts';

export interface SeamMarks {
  readonly object: Group;
  update(seam: SeamView | null, findings: readonly Finding[]): void;
  recolour(theme: StageTheme): void;
  dispose(): void;
}

const SEVERITIES: readonly Severity[] = ['blocks', 'warns', 'notes'];

export function createSeamMarks(): SeamMarks {
  const object = new Group();
  const runs = createFatLines({
    linewidth: 1.4,
    opacity: 0.95,
    dashed: true,
    dashSize: 1.6,
    gapSize: 1,
    renderOrder: 6,
  });
  const start = createFatLines({ linewidth: 2.4, opacity: 0.99, renderOrder: 7 });
  const stretches = SEVERITIES.map((severity) =>
    createFatLines({
      linewidth: severity === 'blocks' ? 2.6 : severity === 'warns' ? 2.2 : 1.4,
      opacity: 0.99,
      renderOrder: 6,
    }),
  );
  const arrowMaterial = new MeshBasicMaterial({
    side: DoubleSide,
    transparent: true,
    opacity: 0.92,
    polygonOffset: true,
    polygonOffsetFactor: -3,
    polygonOffsetUnits: -8,
  });
  const arrows = new Mesh(new BufferGeometry(), arrowMaterial);
  arrows.renderOrder = 6;
  object.add(runs.object, start.object, arrows, ...stretches.map((lines) => lines.object));

  function setArrows(corners: Float32Array): void {
    arrows.geometry.dispose();
    arrows.geometry = new BufferGeometry();
    arrows.geometry.setAttribute('position', new BufferAttribute(corners, 3));
    arrows.visible = corners.length > 0;
  }

  return {
    object,
    update(seam, findings) {
      if (seam === null) {
        for (const lines of [runs, start, ...stretches]) lines.setChains([]);
        setArrows(new Float32Array(0));
        return;
      }
      const lift = liftOf(seam);
      const chains = (['run-in', 'run-out'] as const).flatMap((phase) => {
        const rows = rowsOf(seam, phase);
        if (rows === null) return [];
        // On to the first row with the beam on, so that no chord is missing.
        const from = phase === 'run-out' ? Math.max(0, rows[0] - 1) : rows[0];
        const to = phase === 'run-in' ? Math.min(seam.count - 1, rows[1] + 1) : rows[1];
        const side = seam.closed ? (phase === 'run-in' ? -0.75 : 0.75) * seam.width : 0;
        return [sideLine(seam, from, to, side, 2 * lift)];
      });
      runs.setChains(chains);
      const weld = rowsOf(seam, 'weld');
      const first = weld?.[0] ?? 0;
      const half = 1.05 * seam.width;
      const bar = new Float32Array(6);
      bar.set(sideLine(seam, first, first, -half, 3 * lift), 0);
      bar.set(sideLine(seam, first, first, half, 3 * lift), 3);
      start.setChains(weld === null ? [] : [bar]);
      setArrows(directionArrows(seam, Math.max(12 * seam.width, seam.length / 16)));
      SEVERITIES.forEach((severity, k) => {
        const own = findings.filter((finding) => finding.seam === seam.name && finding.severity === severity);
        stretches[k].setChains(
          own.flatMap((finding) => stretchLines(seam, finding, (0.72 + 0.22 * (2 - k)) * seam.width, lift)),
        );
      });
    },
    recolour(theme) {
      runs.material.color.copy(theme.quiet);
      start.material.color.copy(theme.light);
      arrowMaterial.color.copy(theme.sheet);
      if (theme.dark) arrowMaterial.color.copy(theme.ink);
      [theme.light, theme.ochre, theme.quiet].forEach((colour, k) => {
        stretches[k].material.color.copy(colour);
      });
    },
    dispose() {
      for (const lines of [runs, start, ...stretches]) lines.dispose();
      arrows.geometry.dispose();
      arrowMaterial.dispose();
    },
  };
}

/** 1 where b = n x t points away from the middle of the seam, else -1. */
function outerSide({ joint, normal, tangent, count }: SeamView): 1 | -1 {
  const middle = [0, 0, 0];
  for (let k = 0; k < 3 * count; k++) middle[k % 3] += joint[k] / count;
  let out = 0;
  for (let row = 0; row < count; row++) {
    const k = 3 * row;
    for (let c = 0; c < 3; c++) {
      const [d, e] = [(c + 1) % 3, (c + 2) % 3];
      const b = normal[k + d] * tangent[k + e] - normal[k + e] * tangent[k + d];
      out += b * (joint[k + c] - middle[c]);
    }
  }
  return out >= 0 ? 1 : -1;
}

/** A line along a finding's stretch, on the outer side of the seam; none where it concerns the whole seam or no stretch. */
function stretchLines(seam: SeamView, { from, to }: Finding, offset: number, lift: number): Float32Array[] {
  if (!(to > from) || to - from > 0.98 * seam.length) return [];
  // A stretch over the start of a closed seam goes on beyond its length; so do the rows, as far as they overlap.
  const pieces: [number, number][] =
    to > seam.length && seam.closed
      ? [
          [from, seam.length],
          [0, to - seam.length],
        ]
      : [[from, to]];
  return pieces.flatMap(([low, high]) => {
    const first = rowAt(seam.s, low);
    const last = Math.min(seam.count - 1, rowAt(seam.s, high) + 1);
    return [sideLine(seam, first, last, outerSide(seam) * offset, 2 * lift)];
  });
}
