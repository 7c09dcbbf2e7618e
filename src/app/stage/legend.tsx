// The legend of the ribbon's colours: range, unit, limits, and where the value at the cursor stands.
import { memo, useId, useMemo } from 'react';
import { shownColour } from '../../output/colour-map.ts';
import { fixedText, quantityText, unitText } from '../chrome/unit-text.ts';
import { usePage } from '../store/page-store.ts';
import { barShare, isExceeded } from './legend-scale.ts';
import {
  CONSTANT_SHARE,
  isConstant,
  planQuantities,
  type Quantity,
  type QuantityLimit,
  valueAtRow,
} from './quantities.ts';

const WIDTH = 200;
const BAR = 10;
/** Places on the map that the bar's gradient is made of. */
const STOPS = Array.from({ length: 17 }, (_, k) => k / 16);

export function Legend() {
  const plan = usePage((state) => state.plan);
  const seam = usePage((state) => state.seam);
  const colourBy = usePage((state) => state.colourBy);
  const quantity = useMemo(() => planQuantities(plan?.seams ?? [], colourBy)[seam] ?? null, [plan, seam, colourBy]);
  if (quantity === null) return null;
  const { title, unit, decimals, low, high } = quantity;
  const known = Number.isFinite(low);
  return (
    <figure className="legend" data-over-stage="true">
      <figcaption>
        {title}
        {unitText(unit) !== '' && <span className="unit"> {unitText(unit)}</span>}
      </figcaption>
      {known && (
        <svg width={WIDTH} height={BAR + 10} viewBox={`0 0 ${WIDTH} ${BAR + 10}`} aria-hidden="true">
          <g transform="translate(0 8)">
            <Bar constant={isConstant(quantity)} />
            {quantity.limits.map((limit) => (
              <LimitMark key={limit.name} share={barShare(quantity, limit.value)} />
            ))}
          </g>
          <CursorMark quantity={quantity} />
        </svg>
      )}
      <p className="legend-range">
        {!known ? (
          'not known'
        ) : isConstant(quantity) ? (
          <span className="number">{fixedText(low, decimals)} throughout</span>
        ) : (
          <>
            <span className="number">{fixedText(low, decimals)}</span>
            <span className="number">{fixedText(high, decimals)}</span>
          </>
        )}
      </p>
      {quantity.limits.map((limit) => (
        <LimitLine key={limit.name} quantity={quantity} limit={limit} />
      ))}
    </figure>
  );
}

const Bar = memo(function Bar({ constant }: { readonly constant: boolean }) {
  const id = useId();
  const colour = (share: number) => `rgb(${shownColour(share).join(' ')})`;
  if (constant) return <rect width={WIDTH} height={BAR} fill={colour(CONSTANT_SHARE)} />;
  return (
    <>
      <linearGradient id={id}>
        {STOPS.map((share) => (
          <stop key={share} offset={share} stopColor={colour(share)} />
        ))}
      </linearGradient>
      <rect width={WIDTH} height={BAR} fill={`url(#${id})`} />
    </>
  );
});

function LimitMark({ share }: { readonly share: number | null }) {
  if (share === null) return null;
  const x = Math.min(WIDTH - 1, Math.max(1, share * WIDTH));
  return <line className="legend-limit" x1={x} x2={x} y1={-2} y2={BAR + 2} />;
}

function CursorMark({ quantity }: { readonly quantity: Quantity }) {
  const share = usePage(({ plan, seam, row }) => {
    const view = plan?.seams[seam];
    return view === undefined || row >= view.count ? null : barShare(quantity, valueAtRow(quantity, view, row));
  });
  if (share === null) return null;
  const x = Math.min(WIDTH - 4, Math.max(4, share * WIDTH));
  return <path className="legend-cursor" d={`M${x - 4} 0H${x + 4}L${x} 6Z`} />;
}

function LimitLine({ quantity, limit }: { readonly quantity: Quantity; readonly limit: QuantityLimit }) {
  const exceeded = isExceeded(quantity, limit.kind, limit.value);
  return (
    <p className={exceeded ? 'legend-line exceeded' : 'legend-line'}>
      <span>{limit.name}</span>
      <span className="number">{quantityText(limit.value, quantity.decimals, quantity.unit)}</span>
      {exceeded && <span className="legend-hatch">exceeded: hatched</span>}
    </p>
  );
}
