// The theme as chosen, or as the system has it, on the page's root; kept in the browser. What was kept is there before the first
// component is drawn.
import { useEffect } from 'react';
import { pageStore, usePage } from '../store/page-store.ts';
import { keptTheme, keepTheme, type Theme } from './kept-theme.ts';

const system = window.matchMedia('(prefers-color-scheme: dark)');

function apply(theme: Theme): void {
  const dark = theme === 'dark' || (theme === 'system' && system.matches);
  document.documentElement.dataset.theme = dark ? 'dark' : 'light';
}

const kept = keptTheme();
apply(kept);
pageStore.getState().set({ theme: kept });

export function useTheme(): void {
  const theme = usePage((state) => state.theme);
  useEffect(() => {
    const follow = (): void => apply(theme);
    follow();
    keepTheme(theme);
    system.addEventListener('change', follow);
    return () => system.removeEventListener('change', follow);
  }, [theme]);
}
