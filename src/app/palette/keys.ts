// Keys of commands: written as `mod+shift+z`, matched against what was pressed, shown as people read them.

/** The part of a keyboard event that decides. */
export interface Pressed {
  readonly key: string;
  readonly code?: string;
  readonly ctrlKey: boolean;
  readonly metaKey: boolean;
  readonly shiftKey: boolean;
  readonly altKey: boolean;
}

const SHOWN: Readonly<Record<string, string>> = {
  mod: 'Ctrl',
  shift: 'Shift',
  alt: 'Alt',
  space: 'Space',
  arrowleft: '←',
  arrowright: '→',
  escape: 'Esc',
};

const isMac = (): boolean => typeof navigator !== 'undefined' && /Mac|iPhone|iPad/.test(navigator.platform);

/** `mod+k` -> `Ctrl K`, on a Mac `⌘ K`. */
export function keyText(keys: string, mac: boolean = isMac()): string {
  return keys
    .split('+')
    .map((part) => (part === 'mod' && mac ? '⌘' : (SHOWN[part] ?? (part.length === 1 ? part.toUpperCase() : part))))
    .join(' ');
}

/** Whether the keys are those pressed. `mod` is Control, on a Mac Command; a sign that needs Shift is written as the sign. */
export function matches(keys: string, pressed: Pressed, mac: boolean = isMac()): boolean {
  const parts = keys.split('+');
  const key = parts[parts.length - 1];
  const wants = (name: string): boolean => parts.slice(0, -1).includes(name);
  const mod = mac ? pressed.metaKey : pressed.ctrlKey;
  const other = mac ? pressed.ctrlKey : pressed.metaKey;
  if (other || mod !== wants('mod') || pressed.altKey !== wants('alt')) return false;
  const typed = pressed.key === ' ' ? 'space' : pressed.key.toLowerCase();
  if (typed !== key) return false;
  const isLetter = /^[a-z0-9]$|^.{2,}$/.test(key);
  return isLetter ? pressed.shiftKey === wants('shift') : true;
}

/** A key that types or moves something where the focus is: single keys are not for the page then. */
export const needsNoModifier = (keys: string): boolean => !keys.includes('mod+') && !keys.includes('alt+');
