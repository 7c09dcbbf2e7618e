// The palette: every command by name, with its key.
import { type KeyboardEvent, useEffect, useMemo, useRef, useState } from 'react';
import { Modal } from '../chrome/modal.tsx';
import { pageStore, usePage } from '../store/page-store.ts';
import { allCommands, type Command, findCommands } from './commands.ts';
import { keyText } from './keys.ts';
import { setSingleKeys, singleKeysOn } from './single-keys.ts';
import './palette.css';

const close = (): void => pageStore.getState().set({ paletteOpen: false });

export function Palette() {
  const open = usePage((state) => state.paletteOpen);
  return open ? <OpenPalette /> : null;
}

function OpenPalette() {
  const [typed, setTyped] = useState('');
  const [at, setAt] = useState(0);
  const list = useRef<HTMLDivElement>(null);
  const commands = useMemo(() => {
    const state = pageStore.getState();
    return findCommands(allCommands(state), typed).filter(
      (command) => command.id !== 'palette' && command.enabled(state),
    );
  }, [typed]);
  const chosen = commands[Math.min(at, commands.length - 1)];
  useEffect(() => {
    list.current?.querySelector(`#command-${chosen?.id ?? ''}`)?.scrollIntoView({ block: 'nearest' });
  }, [chosen]);
  const onKeyDown = (event: KeyboardEvent): void => {
    const way = event.key === 'ArrowDown' ? 1 : event.key === 'ArrowUp' ? -1 : 0;
    if (way !== 0 && commands.length > 0) {
      event.preventDefault();
      setAt((Math.min(at, commands.length - 1) + way + commands.length) % commands.length);
    }
    if (event.key === 'Enter' && chosen !== undefined) {
      event.preventDefault();
      runCommand(chosen);
    }
  };
  return (
    <Modal name="Commands" className="palette" onClose={close}>
      <input
        className="palette-input"
        role="combobox"
        aria-label="Find a command"
        aria-expanded="true"
        aria-controls="palette-list"
        aria-activedescendant={chosen === undefined ? undefined : `command-${chosen.id}`}
        placeholder="Find a command"
        autoComplete="off"
        spellCheck={false}
        // biome-ignore lint/a11y/noAutofocus: the dialog was opened to type here.
        autoFocus
        value={typed}
        onChange={({ target }) => {
          setTyped(target.value);
          setAt(0);
        }}
        onKeyDown={onKeyDown}
      />
      <div className="palette-list" id="palette-list" role="listbox" aria-label="Commands" ref={list}>
        {commands.map((command, k) => (
          <Entry
            key={command.id}
            command={command}
            chosen={command === chosen}
            first={typed === '' && command.group !== commands[k - 1]?.group}
          />
        ))}
      </div>
      {commands.length === 0 && (
        <p className="palette-none">No command has these words, or none that can be done now.</p>
      )}
      <SingleKeys />
    </Modal>
  );
}

function runCommand(command: Command): void {
  close();
  command.run(pageStore.getState());
}

interface EntryProps {
  readonly command: Command;
  readonly chosen: boolean;
  /** First of its group. */
  readonly first: boolean;
}

function Entry({ command, chosen, first }: EntryProps) {
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: the keys are those of the field above.
    <div
      id={`command-${command.id}`}
      role="option"
      tabIndex={-1}
      aria-selected={chosen}
      className={`palette-entry${first ? ' first' : ''}`}
      onClick={() => runCommand(command)}
    >
      <span className="palette-group">{first ? command.group : ''}</span>
      <span>{command.title}</span>
      {command.keys !== '' && <kbd className="key">{keyText(command.keys)}</kbd>}
    </div>
  );
}

function SingleKeys() {
  const [on, setOn] = useState(singleKeysOn);
  return (
    <label className="palette-foot">
      <input
        type="checkbox"
        checked={on}
        onChange={({ target }) => {
          setOn(target.checked);
          setSingleKeys(target.checked);
        }}
      />
      Single keys run commands while no field has the focus
    </label>
  );
}
