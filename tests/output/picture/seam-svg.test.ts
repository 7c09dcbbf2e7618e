import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { Resvg } from '@resvg/resvg-js';
import { describe, expect, it } from 'vitest';
import { type Box, labelBox, overlaps } from '../../../src/output/picture/label.ts';
import { seamSvg } from '../../../src/output/picture/seam-svg.ts';
import type { Plan } from '../../../src/planner/plan.ts';
import { saddlePlan } from '../saddle-plan.ts';

const require = createRequire(import.meta.url);
const plan = saddlePlan();

/** Twenty findings crowded together, and a seam with nothing known about its layer. */
function crowdedPlan(): Plan {
  const [seam] = plan.seams;
  const crowd = Array.from({ length: 20 }, (_, k) => ({
    ...seam.findings[k % 3],
    from: 40 + 3 * k,
    to: 60 + 4 * k,
    at: 50 + 3 * k,
  }));
  const aim = { ...seam.aim, layer: seam.aim.layer.map(() => Number.NaN) };
  return { ...plan, seams: [{ ...seam, aim, findings: crowd }], findings: crowd };
}

/** A second seam: the first once more under another name. */
const twoSeams: Plan = {
  ...plan,
  seams: [plan.seams[0], { ...plan.seams[0], seam: { ...plan.seams[0].seam, name: 'rim again' } }],
};

interface Word {
  readonly text: string;
  readonly box: Box;
}

const attribute = (tag: string, name: string): string | undefined => new RegExp(` ${name}="([^"]*)"`).exec(tag)?.[1];

function wordsOf(svg: string): Word[] {
  return [...svg.matchAll(/<text([^>]*)>([^<]*)<\/text>/g)].map(([, tag, text]) => {
    const [x, y] = [Number(attribute(tag, 'x')), Number(attribute(tag, 'y'))];
    const style = {
      size: Number(attribute(tag, 'font-size')),
      weight: attribute(tag, 'font-weight') === '700' ? 700 : 400,
      anchor: (attribute(tag, 'text-anchor') ?? 'start') as 'start' | 'middle' | 'end',
    } as const;
    const { box } = { box: labelBox(x, y, text.replaceAll(/&[a-z]+;/g, 'x'), style) };
    // The ink: cap height above the baseline, a little below it.
    return { text, box: { x: box.x + 2, y: y - 0.75 * style.size, width: box.width - 4, height: 0.95 * style.size } };
  });
}

describe.each([
  ['a plan', plan],
  ['a plan full of findings', crowdedPlan()],
  ['a plan of two seams', twoSeams],
])('seam.svg of %s', (_, given) => {
  const svg = seamSvg(given);
  const words = wordsOf(svg);

  it('is SVG that a general-purpose renderer draws', () => {
    const fonts = join(dirname(require.resolve('dejavu-fonts-ttf/package.json')), 'ttf');
    const font = { fontFiles: [join(fonts, 'DejaVuSans.ttf')], loadSystemFonts: false };
    const image = new Resvg(svg, { font, fitTo: { mode: 'width', value: 400 } }).render();
    expect(image.width).toBe(400);
    // Each look at `pixels` copies the image: once is enough.
    const { pixels } = image;
    const colours = new Set<number>();
    for (let k = 0; k < pixels.length; k += 4) {
      colours.add((pixels[k] << 16) | (pixels[k + 1] << 8) | pixels[k + 2]);
    }
    expect(colours.size).toBeGreaterThan(100);
    expect(svg).not.toMatch(/NaN|undefined|Infinity/);
  });

  it('sets no word over another and none outside the sheet', () => {
    expect(words.length).toBeGreaterThan(60);
    const clashes: string[] = [];
    words.forEach((a, k) => {
      for (const b of words.slice(k + 1)) if (overlaps(a.box, b.box)) clashes.push(`${a.text} / ${b.text}`);
    });
    expect(clashes).toEqual([]);
    const [, width, height] = /viewBox="0 0 (\d+) (\d+)"/.exec(svg) as RegExpExecArray;
    for (const { text, box } of words) {
      expect([text, box.x >= 0 && box.x + box.width <= Number(width) && box.y + box.height <= Number(height)]).toEqual([
        text,
        true,
      ]);
    }
  });

  it('says what it shows: title, unit, limit, start, caution', () => {
    const all = words.map(({ text }) => text).join('\n');
    expect(all).toContain('Saddle pod, rim &quot;A&quot;, nominal');
    expect(all).toMatch(/Ribbon: /);
    expect(all).toMatch(/limit \d/);
    expect(all).toContain('start rim outer');
    expect(all).toMatch(/not a release/);
  });
});

describe('seam.svg', () => {
  // A weld that power holds down to a crawl may take days: ticks stay as few as for one of seconds.
  it.each([1e-3, 1, 1e5, 1e9, 1e15])('has few ticks of time for a cycle %d times as long', (times) => {
    const [seam] = plan.seams;
    const timing = { ...seam.timing, time: seam.timing.time.map((t) => times * t) };
    const short = seamSvg(plan).length;
    expect(seamSvg({ ...plan, seams: [{ ...seam, timing }] }).length).toBeLessThan(1.02 * short);
  });

  it('keeps words of the job from breaking it', () => {
    const svg = seamSvg({ ...plan, job: { ...plan.job, title: '<script>alert(1)</script> & "more" \u0001' } });
    expect(svg).not.toContain('<script');
    expect(svg).not.toContain('\u0001');
    expect(svg).toContain('&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;more&quot;');
  });
});
