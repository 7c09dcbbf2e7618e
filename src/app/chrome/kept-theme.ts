// Keeps the theme that was chosen in the browser; one that keeps nothing goes with the system.
import type { PageState } from '../store/state.ts';

export type Theme = PageState['theme'];

const KEY = 'raythread.theme';

export function keptTheme(): Theme {
  try {
    const kept = localStorage.getItem(KEY);
    return kept === 'light' || kept === 'dark' ? kept : 'system';
  } catch {
    return 'system';
  }
}

export function keepTheme(theme: Theme): void {
  try {
    if (theme === 'system') localStorage.removeItem(KEY);
    else localStorage.setItem(KEY, theme);
  } catch {
    // The theme holds as long as the page is open.
  }
}
