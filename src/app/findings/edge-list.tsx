// The edges of all bodies as a list, for those who cannot use the stage: pointing stresses one there, Enter makes it the seam.
import { useMemo, useState } from 'react';
import type { BodyView, EdgeView } from '../../output/view/plan-view.ts';
import { fixedText } from '../chrome/unit-text.ts';
import { selectSeam } from '../stage/select-seam.ts';
import { markGuessed } from '../store/guesses.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { middleOf } from './middle-of.ts';

/** Entries drawn at first; a model may have thousands. */
const PAGE = 120;

export function EdgeList() {
  const scene = usePage((state) => state.scene);
  const [words, setWords] = useState('');
  const [shown, setShown] = useState(PAGE);
  const bodies = useMemo(() => (scene === null ? [] : matching(scene.bodies, words)), [scene, words]);
  if (scene === null) return <p className="findings-none">Edges come with the parts.</p>;
  let room = shown;
  const total = bodies.reduce((sum, { edges }) => sum + edges.length, 0);
  return (
    <div className="edges">
      <label className="edges-search">
        <span className="quiet">Find</span>
        <input
          value={words}
          placeholder="body, faces, closed, length"
          onChange={({ target }) => {
            setWords(target.value);
            setShown(PAGE);
          }}
        />
      </label>
      {bodies.map(({ body, edges }) => {
        const drawn = edges.slice(0, Math.max(0, room));
        room -= drawn.length;
        return drawn.length === 0 ? null : <BodyEdges key={body.key} body={body} edges={drawn} />;
      })}
      <p className="edges-more">
        {total === 0 ? 'No edge has these words.' : `${Math.min(shown, total)} of ${total} edges, the longest first. `}
        {total > shown && (
          <button type="button" className="link" onClick={() => setShown(shown + 4 * PAGE)}>
            show more
          </button>
        )}
      </p>
    </div>
  );
}

interface MatchingBody {
  readonly body: BodyView;
  readonly edges: readonly EdgeView[];
}

function matching(bodies: readonly BodyView[], words: string): readonly MatchingBody[] {
  const wanted = words
    .toLowerCase()
    .split(/[\s,]+/)
    .filter(Boolean);
  return bodies.map((body) => ({
    body,
    edges: body.edges
      .filter((edge) => {
        const text =
          `${body.name} ${edge.id} ${edge.closed ? 'closed' : 'open'} ${edge.length.toFixed(1)}`.toLowerCase();
        return wanted.every((word) => text.includes(word));
      })
      .toSorted((a, b) => b.length - a.length),
  }));
}

function BodyEdges({ body, edges }: MatchingBody) {
  return (
    <section>
      <h2>{body.name}</h2>
      <ul>
        {edges.map((edge) => (
          <li key={edge.id}>
            <EdgeItem body={body} edge={edge} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function EdgeItem({ body, edge }: { readonly body: BodyView; readonly edge: EdgeView }) {
  const stress = (): void => pageStore.getState().set({ hoverEdge: edge.id });
  const calm = (): void => pageStore.getState().set({ hoverEdge: null });
  return (
    <button
      type="button"
      className="edge"
      onFocus={stress}
      onBlur={calm}
      onPointerEnter={stress}
      onPointerLeave={calm}
      onClick={() => takeAsSeam(body, edge)}
    >
      <span>
        {edge.id.slice(edge.id.indexOf(':') + 1)}
        {edge.closed && <span className="quiet"> closed</span>}
      </span>
      <span className="number">
        {fixedText(edge.length, 1)} <span className="unit">mm</span>
      </span>
      <span className="number quiet">{bendText(edge)}</span>
      <span className="unseen">make it the seam</span>
    </button>
  );
}

function bendText({ dihedral }: EdgeView): string {
  if (dihedral === null) return 'border';
  const [low, high] = dihedral.map((angle) => fixedText(angle, 0));
  return low === high ? `bends ${low}°` : `${low} to ${high}°`;
}

function takeAsSeam(body: BodyView, edge: EdgeView): void {
  const state = pageStore.getState();
  selectSeam(state, { kind: 'edge', body, point: middleOf(edge.position) }, markGuessed);
}
