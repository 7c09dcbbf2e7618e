// The head of the page: what is open, how it stands, what can be done with all of it.
import { useState } from 'react';
import { keyText } from '../palette/keys.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { chooseFiles } from './choose-files.ts';
import { RunLine, RunState } from './run-state.tsx';

export function PageHeader() {
  const canUndo = usePage((state) => state.canUndo);
  const canRedo = usePage((state) => state.canRedo);
  const planned = usePage(({ plan }) => plan !== null);
  const hasParts = usePage(({ job }) => Array.isArray(job.parts) && job.parts.length > 0);
  const { undo, redo, saveJob, openExport, set } = pageStore.getState();
  return (
    <header className="page-header">
      <JobTitle />
      <RunState />
      <div className="header-actions">
        <button type="button" className="button" onClick={chooseFiles}>
          Open
        </button>
        <button type="button" className="button" disabled={!hasParts} onClick={saveJob}>
          Save
        </button>
        <span className="divider" />
        <button type="button" className="button" disabled={!canUndo} onClick={undo}>
          Undo
        </button>
        <button type="button" className="button" disabled={!canRedo} onClick={redo}>
          Redo
        </button>
        <span className="divider" />
        <ThemeButton />
        <button
          type="button"
          className="button"
          aria-keyshortcuts="Control+K"
          onClick={() => set({ paletteOpen: true })}
        >
          Commands <kbd className="key">{keyText('mod+k')}</kbd>
        </button>
        <button type="button" className="button main" disabled={!planned} onClick={openExport}>
          Export
        </button>
      </div>
      <RunLine />
    </header>
  );
}

function JobTitle() {
  const title = usePage(({ job }) => (typeof job.title === 'string' ? job.title : ''));
  const jobName = usePage((state) => state.jobName);
  const [draft, setDraft] = useState<string | null>(null);
  const settle = (): void => {
    if (draft !== null && draft !== title) pageStore.getState().edit('/title', draft === '' ? undefined : draft);
    setDraft(null);
  };
  return (
    <div className="job-title">
      <h1 className="unseen">Raythread: {title === '' ? jobName : title}</h1>
      <span className="page-name" aria-hidden="true">
        Raythread
      </span>
      <input
        className="title-input"
        aria-label="Title of the job"
        placeholder="Untitled job"
        maxLength={200}
        value={draft ?? title}
        onChange={({ target }) => setDraft(target.value)}
        onBlur={settle}
        onKeyDown={(event) => {
          if (event.key === 'Enter') event.currentTarget.blur();
          if (event.key === 'Escape') setDraft(null);
        }}
      />
    </div>
  );
}

const NEXT = { system: 'light', light: 'dark', dark: 'system' } as const;
const SHOWN = { system: 'auto', light: 'light', dark: 'dark' } as const;

function ThemeButton() {
  const theme = usePage((state) => state.theme);
  return (
    <button
      type="button"
      className="button theme-button"
      aria-label={`Theme ${SHOWN[theme]}: change to ${SHOWN[NEXT[theme]]}`}
      onClick={() => pageStore.getState().set({ theme: NEXT[theme] })}
    >
      <span className="quiet">Theme</span> {SHOWN[theme]}
    </button>
  );
}
