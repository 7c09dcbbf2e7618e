import { describe, expect, it } from 'vitest';
import { amountText, findingTitle, listFindings, placeText } from '../../../src/app/findings/finding-words.ts';
import { middleOf } from '../../../src/app/findings/middle-of.ts';
import { RULES } from '../../../src/checks/severity.ts';
import type { Finding } from '../../../src/model/finding.ts';

const finding = (patch: Partial<Finding>): Finding => ({
  code: 'layer-thick',
  severity: 'blocks',
  seam: 'rim',
  from: 10,
  to: 20.04,
  at: 12,
  value: 3.21,
  limit: 3,
  unit: 'mm',
  sentence: '',
  remedy: '',
  ...patch,
});

describe('a finding in words', () => {
  it('has the title of its rule', () => {
    expect(findingTitle(finding({}))).toBe(RULES['layer-thick'].title);
    expect(findingTitle(finding({ code: 'unheard-of' }))).toBe('unheard-of');
  });

  it('says where', () => {
    expect(placeText(finding({}))).toBe('rim, 10.0 to 20.0 mm');
    expect(placeText(finding({ to: 10 }))).toBe('rim, at 10.0 mm');
    expect(placeText(finding({ from: Number.NaN }))).toBe('rim');
    expect(placeText(finding({ seam: '' }))).toBe('the whole job');
  });

  it('says how much against which limit, both with the same decimals', () => {
    expect(amountText(finding({}))).toEqual({ value: '3.21 mm', limit: '3.00 mm' });
    expect(amountText(finding({ unit: 'deg', value: 16.23, limit: 15 }))).toEqual({ value: '16.2°', limit: '15.0°' });
    expect(amountText(finding({ value: 0.35, limit: 0.315, unit: 'J/mm' }))?.value).toBe('0.350 J/mm');
    expect(amountText(finding({ limit: Number.NaN }))?.limit).toBeNull();
    expect(amountText(finding({ value: Number.NaN }))).toBeNull();
    expect(amountText(finding({ value: 7.01, limit: 0 }))).toEqual({ value: '7.01 mm', limit: null });
  });

  it('stands with the gravest first, and keeps its place in the plan', () => {
    const list = [
      finding({ severity: 'notes' }),
      finding({ severity: 'blocks', seam: 'b' }),
      finding({ severity: 'warns', seam: '' }),
    ];
    expect(listFindings(list, null).map(({ index }) => index)).toEqual([1, 2, 0]);
    expect(listFindings(list, 'rim').map(({ index }) => index)).toEqual([2, 0]);
  });
});

it('takes the middle of an edge from its own points', () => {
  expect(middleOf([0, 0, 0, 1, 1, 1, 2, 2, 2])).toEqual([1, 1, 1]);
  expect(middleOf([0, 0, 0, 9, 9, 9])).toEqual([9, 9, 9]);
});
