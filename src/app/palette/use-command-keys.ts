// Runs commands by their keys, unless the focus is where those keys write or move something.
import { useEffect } from 'react';
import { pageStore } from '../store/page-store.ts';
import { COMMANDS } from './commands.ts';
import { matches, needsNoModifier } from './keys.ts';
import { singleKeysOn } from './single-keys.ts';

const TEXT = 'input:not([type=range]):not([type=checkbox]):not([type=radio]), textarea, select, [contenteditable=true]';
const OWN_SPACE = 'button, summary, a, input, [role=option], [role=tab], [role=separator]';

export function useCommandKeys(): void {
  useEffect(() => {
    const onKeyDown = (event: KeyboardEvent): void => {
      if (event.defaultPrevented || event.isComposing) return;
      const state = pageStore.getState();
      const target = event.target instanceof Element ? event.target : null;
      const inText = target?.closest(TEXT) != null;
      const inDialog = document.querySelector('dialog[open]') !== null;
      const command = COMMANDS.find(({ keys, always }) => {
        if (keys === '' || !matches(keys, event)) return false;
        if (inDialog || (inText && always !== true)) return false;
        if (!needsNoModifier(keys)) return true;
        return singleKeysOn() && !(keys === 'space' && target?.closest(OWN_SPACE) != null);
      });
      if (command === undefined) return;
      event.preventDefault();
      if (command.enabled(state)) command.run(state);
    };
    window.addEventListener('keydown', onKeyDown);
    return () => window.removeEventListener('keydown', onKeyDown);
  }, []);
}
