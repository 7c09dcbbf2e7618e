import { describe, expect, it } from 'vitest';
import { COMMANDS, findCommands } from '../../../src/app/palette/commands.ts';
import { keyText, matches, needsNoModifier, type Pressed } from '../../../src/app/palette/keys.ts';

const press = (key: string, modifiers: Partial<Pressed> = {}): Pressed => ({
  key,
  ctrlKey: false,
  metaKey: false,
  shiftKey: false,
  altKey: false,
  ...modifiers,
});

/** What browsers do with Control and cannot or must not be kept from: tabs, windows, reload, find, zoom, history, print, address. Common practice, no source. */
const OF_THE_BROWSER = [
  'a',
  'c',
  'd',
  'e',
  'f',
  'g',
  'h',
  'j',
  'l',
  'n',
  'p',
  'q',
  'r',
  't',
  'u',
  'v',
  'w',
  'x',
  '0',
  '1',
  '9',
];

describe('commands', () => {
  it('have ids and keys of their own', () => {
    const keys = COMMANDS.map((command) => command.keys).filter((text) => text !== '');
    expect(new Set(keys).size).toBe(keys.length);
    expect(new Set(COMMANDS.map(({ id }) => id)).size).toBe(COMMANDS.length);
  });

  it('take no key that the browser needs', () => {
    for (const { keys } of COMMANDS) {
      if (keys.startsWith('mod+')) expect(OF_THE_BROWSER, keys).not.toContain(keys.slice(4));
      expect(keys).not.toMatch(/^alt\+|^f\d+$|^tab$|^escape$|^arrow|^page|^home$|^end$|^enter$/);
    }
  });

  it('cover what a person does', () => {
    const ids = COMMANDS.map(({ id }) => id);
    const wanted = [
      'open',
      'save',
      'export',
      'undo',
      'redo',
      'play',
      'pin',
      'unpin',
      'finding-next',
      'finding-before',
      'theme-dark',
      'theme-light',
      'cancel',
      'view-fit',
      'view-top',
      'tool-pick-edge',
      'tool-measure',
      'palette',
    ];
    for (const id of wanted) expect(ids).toContain(id);
  });

  it('are found by any words of title and group, those that begin so first', () => {
    expect(findCommands(COMMANDS, 'look above').map(({ id }) => id)).toEqual(['view-top']);
    expect(findCommands(COMMANDS, 'undo')[0].id).toBe('undo');
    expect(findCommands(COMMANDS, 'no such thing')).toEqual([]);
    expect(findCommands(COMMANDS, '  ')).toBe(COMMANDS);
  });
});

describe('keys', () => {
  it('tell modifiers apart', () => {
    expect(matches('mod+z', press('z', { ctrlKey: true }), false)).toBe(true);
    expect(matches('mod+z', press('Z', { ctrlKey: true, shiftKey: true }), false)).toBe(false);
    expect(matches('mod+shift+z', press('Z', { ctrlKey: true, shiftKey: true }), false)).toBe(true);
    expect(matches('f', press('f', { ctrlKey: true }), false)).toBe(false);
    expect(matches('f', press('f', { altKey: true }), false)).toBe(false);
    expect(matches('space', press(' '), false)).toBe(true);
  });

  it('mean Command on a Mac', () => {
    expect(matches('mod+k', press('k', { metaKey: true }), true)).toBe(true);
    expect(matches('mod+k', press('k', { ctrlKey: true }), true)).toBe(false);
    expect(keyText('mod+k', true)).toBe('⌘ K');
    expect(keyText('mod+shift+z', false)).toBe('Ctrl Shift Z');
  });

  it('know which of them are single', () => {
    expect(needsNoModifier('shift+n')).toBe(true);
    expect(needsNoModifier('mod+n')).toBe(false);
  });
});
