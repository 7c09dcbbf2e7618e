// The line above the stage: what a click does, what colours the seam, how one looks at it.
import { type FocusEvent, useRef } from 'react';
import { pageStore, usePage } from '../store/page-store.ts';
import type { PageState, StandardView } from '../store/state.ts';
import { quantityNames } from '../stage/quantities.ts';

const TOOLS: readonly (readonly [PageState['tool'], string, string])[] = [
  ['look', 'Look', 'Turn, move and zoom'],
  ['pick-edge', 'Pick seam', 'Click an edge; with Alt the band of a face'],
  ['measure', 'Measure', 'Two clicks: distance, and angle between faces'],
  ['probe', 'Probe', 'Read the number under the pointer'],
];

export function StageBar() {
  const tool = usePage((state) => state.tool);
  return (
    <div className="stage-bar" role="toolbar" aria-label="Stage">
      <fieldset className="segments">
        <legend className="unseen">What a click does</legend>
        {TOOLS.map(([name, title, does]) => (
          <button
            key={name}
            type="button"
            className="button small"
            aria-pressed={tool === name}
            title={does}
            onClick={() => pageStore.getState().set({ tool: name })}
          >
            {title}
          </button>
        ))}
      </fieldset>
      <ColourBy />
      <ViewMenu />
    </div>
  );
}

function ColourBy() {
  const colourBy = usePage((state) => state.colourBy);
  const seam = usePage(({ plan, seam: index }) => plan?.seams[index]);
  if (seam === undefined) return null;
  const names = quantityNames(seam);
  const groups = [...new Set(names.map(({ group }) => group))];
  return (
    <label className="colour-by">
      <span className="quiet">Colour by</span>
      <select
        className="select"
        value={colourBy}
        onChange={({ target }) => pageStore.getState().set({ colourBy: target.value })}
      >
        {groups.map((group) => (
          <optgroup key={group} label={group}>
            {names
              .filter((name) => name.group === group)
              .map(({ name, title }) => (
                <option key={name} value={name}>
                  {title}
                </option>
              ))}
          </optgroup>
        ))}
      </select>
    </label>
  );
}

const VIEWS: readonly (readonly [StandardView, string])[] = [
  ['fit', 'Fit'],
  ['corner', 'Corner'],
  ['top', 'Top'],
  ['bottom', 'Bottom'],
  ['front', 'Front'],
  ['back', 'Back'],
  ['left', 'Left'],
  ['right', 'Right'],
  ['cursor', 'Cursor'],
];

function ViewMenu() {
  const menu = useRef<HTMLDetailsElement>(null);
  const leave = (event: FocusEvent): void => {
    if (menu.current !== null && !menu.current.contains(event.relatedTarget)) menu.current.open = false;
  };
  return (
    <details className="menu" ref={menu} onBlur={leave}>
      <summary className="button small">View</summary>
      {/* A click on its ground keeps the focus inside. */}
      <div className="menu-sheet" tabIndex={-1}>
        <div className="view-buttons">
          {VIEWS.map(([view, title]) => (
            <button
              key={view}
              type="button"
              className="button small framed"
              onClick={() => {
                const { set, viewRequest } = pageStore.getState();
                set({ viewRequest: { view, number: viewRequest.number + 1 } });
              }}
            >
              {title}
            </button>
          ))}
        </div>
        <Projection />
        <Shown />
        <Section />
      </div>
    </details>
  );
}

function Projection() {
  const projection = usePage((state) => state.projection);
  return (
    <fieldset className="segments">
      <legend className="unseen">Projection</legend>
      {(['perspective', 'orthographic'] as const).map((name) => (
        <button
          key={name}
          type="button"
          className="button small"
          aria-pressed={projection === name}
          onClick={() => pageStore.getState().set({ projection: name })}
        >
          {name === 'perspective' ? 'Perspective' : 'Parallel'}
        </button>
      ))}
    </fieldset>
  );
}

function Shown() {
  const show = usePage((state) => state.show);
  return (
    <fieldset className="checks">
      <legend>Shown</legend>
      {(['beam', 'tooling', 'edges', 'arm'] as const).map((what) => (
        <label key={what}>
          <input
            type="checkbox"
            checked={show[what]}
            onChange={({ target }) => pageStore.getState().set({ show: { ...show, [what]: target.checked } })}
          />
          {what}
        </label>
      ))}
    </fieldset>
  );
}

const AXES = { x: 0, y: 1, z: 2 } as const;

function Section() {
  const section = usePage((state) => state.section);
  const scene = usePage((state) => state.scene);
  if (scene === null) return null;
  const { set } = pageStore.getState();
  return (
    <fieldset className="checks">
      <legend>Cut open across</legend>
      {(['x', 'y', 'z'] as const).map((axis) => (
        <label key={axis}>
          <input
            type="checkbox"
            checked={section?.axis === axis}
            onChange={({ target }) => set({ section: target.checked ? { axis, at: 0 } : null })}
          />
          {axis}
        </label>
      ))}
      {section !== null && (
        <input
          type="range"
          className="slider"
          aria-label={`Place of the cut along ${section.axis}`}
          aria-valuetext={`${section.at.toFixed(1)} mm`}
          min={scene.low[AXES[section.axis]]}
          max={scene.high[AXES[section.axis]]}
          step="any"
          value={section.at}
          onChange={({ target }) => set({ section: { axis: section.axis, at: Number(target.value) } })}
        />
      )}
    </fieldset>
  );
}
