// The page's colours as the stage needs them, read from its CSS variables, and word when they change.
import { Color } from 'three';

const NAMES = ['paper', 'sheet', 'ink', 'quiet', 'faint', 'rule', 'light', 'ochre', 'glass', 'graphite'] as const;

export type StageTheme = Readonly<Record<(typeof NAMES)[number], Color>> & { readonly dark: boolean };

/** Colours of the theme that `element` shows. */
export function readTheme(element: Element): StageTheme {
  const style = getComputedStyle(element);
  const colours = Object.fromEntries(
    NAMES.map((name) => {
      const text = style.getPropertyValue(`--${name}`).trim();
      return [name, new Color(text === '' ? '#808080' : text)] as const;
    }),
  ) as Record<(typeof NAMES)[number], Color>;
  const { r, g, b } = colours.paper;
  return { ...colours, dark: 0.2126 * r + 0.7152 * g + 0.0722 * b < 0.18 };
}

/** Calls `changed` whenever the theme may have changed; gives back how to stop. */
export function watchTheme(changed: () => void): () => void {
  const system = matchMedia('(prefers-color-scheme: dark)');
  system.addEventListener('change', changed);
  const observer = new MutationObserver(changed);
  observer.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme', 'class'] });
  return () => {
    system.removeEventListener('change', changed);
    observer.disconnect();
  };
}
