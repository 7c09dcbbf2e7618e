// Which labels stand on the picture: where the seam starts, what findings say and where, the value at the cursor, measured points.
import { Vector3 } from 'three';
import type { Finding } from '../../model/finding.ts';
import type { PlanView, SeamView } from '../../output/view/plan-view.ts';
import { quantityText } from '../chrome/unit-text.ts';
import type { StageLabel } from './label-layer.ts';
import { measure, type MeasurePoint } from './measure.ts';
import { type Quantity, valueAtRow } from './quantities.ts';
import { rowsOf } from './ribbon-mesh.ts';
import { rowNear } from './row-at.ts';

export interface LabelState {
  readonly plan: PlanView | null;
  readonly seam: number;
  readonly row: number;
  readonly quantity: Quantity | null;
  /** Index of the finding that was gone to. */
  readonly finding: number | null;
  readonly measured: readonly MeasurePoint[];
  /** What the plan's points are counted from, in the scene. */
  readonly origin: Vector3;
}

/** Beyond this many, findings show their marks alone. */
const MOST_TEXTS = 12;

export function stageLabels(
  state: LabelState,
  goTo: (finding: number, seam: number, row: number) => void,
): StageLabel[] {
  const measured = measureLabels(state.measured);
  const { plan, origin } = state;
  if (plan === null) return measured;
  const own = planLabels({ ...state, plan }, goTo).map((label) => ({ ...label, anchor: label.anchor.add(origin) }));
  return [...measured, ...own];
}

function planLabels(
  { plan, seam: active, row, quantity, finding }: LabelState & { readonly plan: PlanView },
  goTo: (finding: number, seam: number, row: number) => void,
): StageLabel[] {
  const labels: StageLabel[] = [];
  plan.seams.forEach((seam, k) => {
    const weld = rowsOf(seam, 'weld');
    if (weld === null) return;
    const text = plan.seams.length > 1 ? `${seam.name}, start` : 'start';
    labels.push({ id: `start-${k}`, anchor: beside(seam, weld[0], -1.2), text, mark: null, priority: 2 });
  });
  labels.push(...findingLabels(plan, finding, goTo));
  const cursor = plan.seams[active];
  if (cursor !== undefined && quantity !== null && row < cursor.count) {
    const value = quantityText(valueAtRow(quantity, cursor, row), quantity.decimals, quantity.unit);
    labels.push({ id: 'cursor', anchor: pointAt(cursor, row), text: value, mark: null, priority: 5 });
  }
  return labels;
}

function findingLabels(
  plan: PlanView,
  chosen: number | null,
  goTo: (finding: number, seam: number, row: number) => void,
): StageLabel[] {
  let texts = 0;
  return plan.findings.flatMap((finding, k) => {
    const seam = plan.seams.findIndex(({ name }) => name === finding.seam);
    if (seam < 0 || !Number.isFinite(finding.at)) return [];
    const row = rowNear(plan.seams[seam].s, finding.at);
    const speaks = k === chosen || (finding.severity !== 'notes' && ++texts <= MOST_TEXTS);
    return {
      id: `finding-${k}`,
      anchor: pointAt(plan.seams[seam], row),
      text: speaks ? findingText(finding) : '',
      mark: finding.severity,
      priority: k === chosen ? 10 : finding.severity === 'blocks' ? 4 : 3,
      title: `${finding.severity}: ${finding.sentence}`,
      act: () => goTo(k, seam, row),
    };
  });
}

/** The finding in few words: what, and by how much. */
function findingText({ code, value, unit }: Finding): string {
  const words = code.replaceAll('-', ' ');
  if (!Number.isFinite(value)) return words;
  return `${words} ${quantityText(value, Math.abs(value) < 10 ? 2 : 1, unit)}`;
}

function measureLabels(points: readonly MeasurePoint[]): StageLabel[] {
  const marks = points.map(({ point }, k): StageLabel => {
    return { id: `measure-${k}`, anchor: new Vector3(...point), text: '', mark: 'point', priority: 20, always: true };
  });
  if (points.length < 2) return marks;
  const [a, b] = points;
  const middle = new Vector3(...a.point).lerp(new Vector3(...b.point), 0.5);
  const text = `${measure(a, b).distance.toFixed(3)} mm`;
  return [...marks, { id: 'measure', anchor: middle, text, mark: null, priority: 20, always: true }];
}

const pointAt = (seam: SeamView, row: number): Vector3 => new Vector3().fromArray(seam.joint, 3 * row);

/** Beside the seam, `widths` of it towards b = n x t. */
function beside(seam: SeamView, row: number, widths: number): Vector3 {
  const normal = new Vector3().fromArray(seam.normal, 3 * row);
  const b = normal.cross(new Vector3().fromArray(seam.tangent, 3 * row));
  return pointAt(seam, row).addScaledVector(b, widths * seam.width);
}
