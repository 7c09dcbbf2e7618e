// A severity as a shape, with its word where none stands beside it: a filled square, a triangle, a ring.
import type { Severity } from '../../model/finding.ts';

interface SeverityMarkProps {
  readonly severity: Severity;
  /** Nothing beside it says the word. */
  readonly alone?: boolean;
}

export function SeverityMark({ severity, alone = false }: SeverityMarkProps) {
  const name = alone ? ({ role: 'img', 'aria-label': severity } as const) : ({ 'aria-hidden': true } as const);
  return (
    // biome-ignore lint/a11y/noSvgWithoutTitle: it has a name where it stands alone, and is hidden where the word stands beside it.
    <svg className={`severity ${severity}`} viewBox="0 0 12 12" width="12" height="12" {...name}>
      {severity === 'blocks' && <rect x="1" y="1" width="10" height="10" />}
      {severity === 'warns' && <polygon points="6,0.5 12,11.5 0,11.5" />}
      {severity === 'notes' && <circle cx="6" cy="6" r="4.4" />}
    </svg>
  );
}
