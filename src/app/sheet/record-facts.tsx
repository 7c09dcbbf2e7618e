// What a record of the catalogue says, value by value, with how well each is known.
import { unitText } from '../chrome/unit-text.ts';
import { type CatalogueKind, catalogueFacts } from './catalogue-facts.ts';

const MARKS: Readonly<Record<string, string>> = {
  seen: 'seen: read in the source named',
  memory: 'memory: remembered, check it',
  assumed: 'assumed: chosen, no source',
};

interface RecordFactsProps {
  readonly kind: CatalogueKind;
  readonly id: string;
}

export function RecordFacts({ kind, id }: RecordFactsProps) {
  const facts = catalogueFacts(kind, id);
  if (facts.length === 0) return null;
  const count = (mark: string): number => facts.filter((fact) => fact.mark === mark).length;
  const marks = ['seen', 'memory', 'assumed'].filter((mark) => count(mark) > 0);
  return (
    <details className="facts">
      <summary>
        Values and sources
        <span className="quiet"> {marks.map((mark) => `${count(mark)} ${mark}`).join(', ')}</span>
      </summary>
      <dl>
        {facts.map(({ label, value, unit, source, mark }) => (
          <div key={label} className="fact">
            <dt>{label}</dt>
            <dd>
              <span className="number">
                {value} <span className="unit">{unitText(unit)}</span>
              </span>
              <span className={`mark-word ${mark}`} title={MARKS[mark]}>
                {mark}
              </span>
              <span className="fact-source">{source}</span>
            </dd>
          </div>
        ))}
      </dl>
    </details>
  );
}
