import { afterEach, describe, expect, it, vi } from 'vitest';
import { keepTheme, keptTheme } from '../../../src/app/chrome/kept-theme.ts';

/** The part of a browser's storage that is used. */
function storage(): void {
  const kept = new Map<string, string>();
  vi.stubGlobal('localStorage', {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => kept.set(key, value),
    removeItem: (key: string) => kept.delete(key),
  });
}

afterEach(() => vi.unstubAllGlobals());

describe('the theme that was chosen', () => {
  it('is kept, and given up for the system again', () => {
    storage();
    expect(keptTheme()).toBe('system');
    keepTheme('dark');
    expect(keptTheme()).toBe('dark');
    keepTheme('system');
    expect(keptTheme()).toBe('system');
  });

  it('is the system where the browser keeps nothing, or something else', () => {
    vi.stubGlobal('localStorage', {
      getItem: () => {
        throw new Error('blocked');
      },
      setItem: () => {
        throw new Error('blocked');
      },
    });
    keepTheme('dark');
    expect(keptTheme()).toBe('system');
    storage();
    localStorage.setItem('raythread.theme', 'sepia');
    expect(keptTheme()).toBe('system');
  });
});
