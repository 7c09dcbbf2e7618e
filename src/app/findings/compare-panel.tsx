// The plan on the screen against the pinned one: figures of each seam, findings that are gone and that have come.
import type { SeamSummary } from '../../output/summary.ts';
import { SeverityMark } from '../chrome/severity-mark.tsx';
import { fixedText } from '../chrome/unit-text.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import type { Finding } from '../../model/finding.ts';
import { findingTitle, placeText } from './finding-words.ts';
import { goneAndCome } from './gone-and-come.ts';

export function ComparePanel() {
  const plan = usePage((state) => state.plan);
  const pinned = usePage((state) => state.pinned);
  if (plan === null || pinned === null) return <p className="findings-none">Pin a plan to compare others with it.</p>;
  const { gone, come } = goneAndCome(pinned.findings, plan.findings);
  return (
    <div className="compare">
      <p className="quiet">The plan on the screen against the pinned one, which the strip shows as a thin line.</p>
      {plan.summary.seams.map((seam) => (
        <Figures key={seam.name} now={seam} then={pinned.summary.seams.find(({ name }) => name === seam.name)} />
      ))}
      <FindingsOf title="Findings gone" findings={gone} none="None is gone." />
      <FindingsOf title="Findings come" findings={come} none="None has come." />
      <p>
        <button type="button" className="link" onClick={() => pageStore.getState().unpin()}>
          take the pinned plan away
        </button>
      </p>
    </div>
  );
}

type Read = (seam: SeamSummary) => number | undefined;

const FIGURES: readonly (readonly [string, string, number, Read])[] = [
  ['Cycle', 's', 2, ({ cycle_s }) => cycle_s.total],
  ['Length', 'mm', 2, ({ length_mm }) => length_mm],
  ['Speed, least', 'mm/s', 1, ({ speed_mm_s }) => speed_mm_s?.[0]],
  ['Power, most', 'W', 1, ({ power_W }) => power_W?.[1]],
  ['Layer, most', 'mm', 2, ({ layer_mm }) => layer_mm?.[1]],
  ['Incidence at the joint, most', '°', 1, ({ incidence_joint_deg }) => incidence_joint_deg?.[1]],
  ['Incidence at entry, most', '°', 1, ({ incidence_entry_deg }) => incidence_entry_deg?.[1]],
  ['Head travel, most', '×', 2, ({ head_factor }) => head_factor?.[1]],
];

function Figures({ now, then }: { readonly now: SeamSummary; readonly then: SeamSummary | undefined }) {
  if (then === undefined) return <p>Seam {now.name} has no pinned counterpart.</p>;
  return (
    <table>
      <caption className="unseen">Seam {now.name}, figures now and pinned</caption>
      <thead>
        <tr>
          <th scope="col">Seam {now.name}</th>
          <th scope="col">pinned</th>
          <th scope="col">now</th>
          <th scope="col">differs</th>
        </tr>
      </thead>
      <tbody>
        {FIGURES.map(([name, unit, decimals, read]) => {
          const [a, b] = [read(then) ?? Number.NaN, read(now) ?? Number.NaN];
          const same = !(Math.abs(b - a) >= 0.5 * 10 ** -decimals);
          return (
            <tr key={name}>
              <td>
                {name} <span className="unit">{unit}</span>
              </td>
              <td>{fixedText(a, decimals)}</td>
              <td>{fixedText(b, decimals)}</td>
              <td>{same ? <span className="quiet">same</span> : `${b > a ? '+' : ''}${fixedText(b - a, decimals)}`}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}

interface FindingsOfProps {
  readonly title: string;
  readonly findings: readonly Finding[];
  readonly none: string;
}

function FindingsOf({ title, findings, none }: FindingsOfProps) {
  return (
    <>
      <h3>{title}</h3>
      {findings.length === 0 ? (
        <p className="quiet">{none}</p>
      ) : (
        <ul>
          {findings.map((finding) => (
            <li key={`${finding.code} ${finding.seam} ${finding.from}`}>
              <SeverityMark severity={finding.severity} alone />
              <span>{findingTitle(finding)}</span>
              <span className="quiet number">{placeText(finding)}</span>
            </li>
          ))}
        </ul>
      )}
    </>
  );
}
