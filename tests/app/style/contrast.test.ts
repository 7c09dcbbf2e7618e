// Colours of the page against WCAG 2.2, success criterion 1.4.3 (text, 4.5:1) and 1.4.11 (shapes, 3:1).
// Source: WCAG 2.2 (W3C Recommendation), definitions of relative luminance and contrast ratio (from memory).
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const css = readFileSync(new URL('../../../src/app/style/tokens.css', import.meta.url), 'utf8');

function tokensOf(theme: 'light' | 'dark'): Map<string, string> {
  const block = css.slice(css.indexOf(`data-theme="${theme}"`));
  const body = block.slice(block.indexOf('{') + 1, block.indexOf('}'));
  return new Map(
    [...body.matchAll(/--([a-z-]+):\s*(#[0-9a-f]{6})\b(?![0-9a-f])/g)].map(([, name, value]) => [name, value]),
  );
}

function luminance(colour: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const c = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [low, high] = [luminance(a), luminance(b)].sort((x, y) => x - y);
  return (high + 0.05) / (low + 0.05);
}

describe.each(['light', 'dark'] as const)('the %s theme', (theme) => {
  const tokens = tokensOf(theme);
  const colour = (name: string): string => {
    const value = tokens.get(name);
    if (value === undefined) throw new Error(`no token --${name}`);
    return value;
  };

  it('lets all text be read on every ground', () => {
    for (const text of ['ink', 'quiet', 'light', 'ochre', 'glass']) {
      for (const ground of ['paper', 'sheet', 'raised', 'hover']) {
        const least = text === 'glass' && ground !== 'sheet' ? 3 : 4.5;
        expect(contrast(colour(text), colour(ground)), `${text} on ${ground}`).toBeGreaterThanOrEqual(least);
      }
    }
    expect(contrast(colour('sheet'), colour('ink'))).toBeGreaterThanOrEqual(4.5);
  });

  it('lets shapes be seen', () => {
    for (const shape of ['faint', 'graphite', 'glass']) {
      expect(contrast(colour(shape), colour('sheet')), shape).toBeGreaterThanOrEqual(3);
    }
  });
});

it('measures black on white as 21 (source: WCAG 2.2, contrast ratio ranges from 1 to 21)', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 10);
});
