// The ground of a track: beam off in run-in and run-out, what is welded twice, and where a closed seam closes.
import { memo } from 'react';
import type { SeamView } from '../../output/view/plan-view.ts';
import { lastWelded, phaseStretches } from './stretches.ts';
import type { StripScale } from './strip-scale.ts';

interface SeamGroundProps {
  readonly seam: SeamView;
  readonly x: StripScale;
  readonly height: number;
}

export const SeamGround = memo(function SeamGround({ seam, x, height }: SeamGroundProps) {
  const twice = seam.closed ? Math.max(0, lastWelded(seam) - seam.length) : 0;
  return (
    <>
      {phaseStretches(seam)
        .filter(({ phase }) => phase !== 'weld')
        .map(({ phase, from, to }) => (
          <rect
            key={phase}
            className={phase === 'overlap' ? 'twice' : 'dark-run'}
            x={x(from)}
            width={Math.max(0, x(to) - x(from))}
            height={height}
          />
        ))}
      {twice > 0 && <rect className="twice" x={x(0)} width={x(twice) - x(0)} height={height} />}
      {seam.closed &&
        [0, seam.length].map((at) => <line key={at} className="closes" x1={x(at)} x2={x(at)} y2={height} />)}
    </>
  );
});
