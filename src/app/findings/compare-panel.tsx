// The plan on the screen against the pinned one: cycle time, where each track differs most, findings that are gone and that have come.
import { useMemo } from 'react';
import type { Finding } from '../../model/finding.ts';
import { compareViews, type SeamDifference, type SeriesDifference } from '../../output/view/compare-views.ts';
import { SeverityMark } from '../chrome/severity-mark.tsx';
import { bareUnit, fixedText } from '../chrome/unit-text.ts';
import { rowNear } from '../stage/row-at.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { findingTitle, placeText } from './finding-words.ts';

export function ComparePanel() {
  const plan = usePage((state) => state.plan);
  const pinned = usePage((state) => state.pinned);
  const difference = useMemo(
    () => (plan === null || pinned === null ? null : compareViews(pinned, plan)),
    [plan, pinned],
  );
  if (difference === null) return <p className="findings-none">Pin a plan to compare others with it.</p>;
  const { seams, seamsGone, seamsCome, gone, come } = difference;
  return (
    <div className="compare">
      <p className="quiet">The plan on the screen against the pinned one, which the strip shows as a thin line.</p>
      <FindingsOf title="Findings come" findings={come} none="None has come." />
      <FindingsOf title="Findings gone" findings={gone} none="None is gone." />
      {seams.map((seam) => (
        <SeamFigures key={seam.name} seam={seam} />
      ))}
      {seamsGone.length > 0 && <p>Seams gone: {seamsGone.join(', ')}</p>}
      {seamsCome.length > 0 && <p>Seams come: {seamsCome.join(', ')}</p>}
      <button type="button" className="link unpin" onClick={() => pageStore.getState().unpin()}>
        take the pinned plan away
      </button>
    </div>
  );
}

/** With its sign; `same` where nothing of it would be seen. */
function changeText(change: number, decimals: number): string {
  if (!Number.isFinite(change)) return 'not known';
  if (!(Math.abs(change) >= 0.5 * 10 ** -decimals)) return 'same';
  return `${change > 0 ? '+' : ''}${fixedText(change, decimals)}`;
}

function SeamFigures({ seam: { name, cycle, length, series } }: { readonly seam: SeamDifference }) {
  return (
    <>
      <h2>Seam {name}</h2>
      <table>
        <thead>
          <tr>
            <th scope="col">
              <span className="unseen">Figure</span>
            </th>
            <th scope="col">pinned</th>
            <th scope="col">now</th>
            <th scope="col">change</th>
          </tr>
        </thead>
        <tbody>
          <Figure name="Cycle" unit="s" values={cycle} />
          <Figure name="Length" unit="mm" values={length} />
        </tbody>
      </table>
      <table>
        <thead>
          <tr>
            <th scope="col">Largest change</th>
            <th scope="col">by</th>
            <th scope="col">at</th>
          </tr>
        </thead>
        <tbody>
          {series.map((one) => (
            <Largest key={`${one.track} ${one.name}`} seam={name} series={one} />
          ))}
        </tbody>
      </table>
    </>
  );
}

interface FigureProps {
  readonly name: string;
  readonly unit: string;
  readonly values: readonly [number, number];
}

function Figure({ name, unit, values: [before, after] }: FigureProps) {
  return (
    <tr>
      <td>
        {name} <span className="unit">{unit}</span>
      </td>
      <td>{fixedText(before, 2)}</td>
      <td>{fixedText(after, 2)}</td>
      <td>{changeText(after - before, 2)}</td>
    </tr>
  );
}

/** Where a series differs most; a press goes there. */
function Largest({ seam, series }: { readonly seam: string; readonly series: SeriesDifference }) {
  const { track, name, unit, decimals, largest, at } = series;
  const text = changeText(largest, decimals);
  const goThere = (): void => {
    const { plan, set } = pageStore.getState();
    const index = plan?.seams.findIndex((candidate) => candidate.name === seam) ?? -1;
    const view = plan?.seams[index];
    if (view !== undefined) set({ seam: index, row: rowNear(view.s, at), playing: false });
  };
  return (
    <tr className={text === 'same' || text === 'not known' ? 'quiet' : ''}>
      <td>
        {track}
        {name.toLowerCase() === track.toLowerCase() ? '' : `, ${name}`} <span className="unit">{bareUnit(unit)}</span>
      </td>
      <td>{text}</td>
      <td>
        {text === 'same' || text === 'not known' ? (
          ''
        ) : (
          <button
            type="button"
            className="link"
            aria-label={`${track}, ${name}: go to ${fixedText(at, 1)} mm`}
            onClick={goThere}
          >
            {fixedText(at, 1)} mm
          </button>
        )}
      </td>
    </tr>
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
      <h2>{title}</h2>
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
