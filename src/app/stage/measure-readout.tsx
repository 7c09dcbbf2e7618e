// What two measured points come to.
import { fixedText } from '../chrome/unit-text.ts';
import { measure } from './measure.ts';
import { stageStore, useStage } from './stage-store.ts';

export function MeasureReadout() {
  const measured = useStage((state) => state.measured);
  if (measured.length < 2) return null;
  const { distance, along, angle } = measure(measured[0], measured[1]);
  const parts = ['x', 'y', 'z'].map((axis, c) => [axis, along[c]] as const);
  return (
    <div className="stage-measure" data-over-stage="true" role="status">
      <dl>
        <Row name="Distance" value={fixedText(distance, 3)} unit="mm" />
        {parts.map(([axis, value]) => (
          <Row key={axis} name={`along ${axis}`} value={fixedText(value, 3)} unit="mm" />
        ))}
        <Row name="Between faces" value={fixedText(angle, 2)} unit="°" />
      </dl>
      <button type="button" className="link" onClick={() => stageStore.setState({ measured: [] })}>
        clear
      </button>
    </div>
  );
}

function Row({ name, value, unit }: { readonly name: string; readonly value: string; readonly unit: string }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd className="number">
        {value} <span className="unit">{unit}</span>
      </dd>
    </div>
  );
}
