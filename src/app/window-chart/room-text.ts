// How far the plan is from the borders of the process window, in words that say which way.
import { type Code, RULES } from '../../checks/severity.ts';
import type { Severity } from '../../model/finding.ts';
import type { WindowPlan } from '../../model/process-window.ts';
import { fixedText } from '../chrome/unit-text.ts';

export interface Room {
  readonly name: string;
  readonly text: string;
  /** How grave it is where the plan is beyond the border; null where it is not. */
  readonly severity: Severity | null;
}

/** From here on a share is said as a multiple. */
const MULTIPLE = 1;

const gravity = (code: Code): Severity => RULES[code].severity;

/** Room of the line energy towards each border: what melts the width, what spoils, what the source can give. */
export function roomsOf(plan: WindowPlan): readonly Room[] {
  const { overMelting, underSpoiling, underPower, wanted } = plan;
  return [
    {
      name: `To melt ${fixedText(wanted, 2)} mm`,
      ...(Number.isFinite(overMelting)
        ? towards(overMelting, 'too little', gravity('seam-narrow'))
        : { text: 'no energy is enough', severity: gravity('seam-narrow') }),
    },
    { name: 'Until the plastic spoils', ...towards(underSpoiling, 'too much', gravity('joint-spoilt')) },
    { name: 'Until the source’s most', ...towards(underPower, 'too much', 'warns') },
  ];
}

function towards(share: number, wrong: string, severity: Severity): Omit<Room, 'name'> {
  if (!Number.isFinite(share)) return { text: 'not reached', severity: null };
  const percent = `${fixedText(Math.abs(100 * share), 0)} %`;
  if (share < 0) return { text: `${percent} ${wrong}`, severity };
  if (share >= MULTIPLE) return { text: `${fixedText(1 + share, 1)} times as much`, severity: null };
  return { text: `${percent} to spare`, severity: null };
}
