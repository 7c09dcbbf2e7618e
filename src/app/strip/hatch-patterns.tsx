// Hatching for each severity, referred to by the tracks; a print in black and white keeps it.
const SEVERITIES = ['blocks', 'warns', 'notes'] as const;

export const hatchOf = (severity: (typeof SEVERITIES)[number]): string => `url(#strip-hatch-${severity})`;

export function HatchPatterns() {
  return (
    <svg className="hatch-patterns" width="0" height="0" aria-hidden="true">
      <defs>
        {SEVERITIES.map((severity) => (
          <pattern
            key={severity}
            id={`strip-hatch-${severity}`}
            width="6"
            height="6"
            patternUnits="userSpaceOnUse"
            patternTransform={severity === 'warns' ? 'rotate(-45)' : 'rotate(45)'}
          >
            <line className={`hatch ${severity}`} x1="0" y1="0" x2="0" y2="6" />
          </pattern>
        ))}
      </defs>
    </svg>
  );
}
