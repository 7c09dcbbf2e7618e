import { expect, it } from 'vitest';
import { followFinding } from '../../../src/app/store/follow-finding.ts';
import type { Finding } from '../../../src/model/finding.ts';

const at = (code: string, from: number, seam = 'rim'): Finding => ({
  code,
  severity: 'notes',
  seam,
  from,
  to: from + 10,
  at: from,
  value: 1,
  limit: 2,
  unit: 'mm',
  sentence: '',
  remedy: '',
});
const before = [at('unequal-bend', 110), at('unequal-bend', 300), at('seam-narrow', 0)];

it('follows a finding to its new place in the list, the closest of its kind', () => {
  const now = [at('speed-dip', 5), at('unequal-bend', 290), at('unequal-bend', 112)];
  expect(followFinding(before, 0, now)).toBe(2);
  expect(followFinding(before, 1, now)).toBe(1);
});

it('lets go of one that is gone, or was never there', () => {
  expect(followFinding(before, 2, [at('unequal-bend', 0), at('seam-narrow', 0, 'other')])).toBeNull();
  expect(followFinding(before, null, before)).toBeNull();
  expect(followFinding([], 0, before)).toBeNull();
});

it('follows one without a place', () => {
  expect(followFinding([at('no-layer', Number.NaN)], 0, [at('x', 1), at('no-layer', Number.NaN)])).toBe(1);
});
