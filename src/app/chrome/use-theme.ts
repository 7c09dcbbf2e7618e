// The theme as chosen, or as the system has it, on the page's root.
import { useEffect } from 'react';
import { usePage } from '../store/page-store.ts';

const DARK = '(prefers-color-scheme: dark)';

export function useTheme(): void {
  const theme = usePage((state) => state.theme);
  useEffect(() => {
    const system = window.matchMedia(DARK);
    const apply = (): void => {
      const dark = theme === 'dark' || (theme === 'system' && system.matches);
      document.documentElement.dataset.theme = dark ? 'dark' : 'light';
    };
    apply();
    system.addEventListener('change', apply);
    return () => system.removeEventListener('change', apply);
  }, [theme]);
}
