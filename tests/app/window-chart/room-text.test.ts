import { describe, expect, it } from 'vitest';
import { roomsOf } from '../../../src/app/window-chart/room-text.ts';
import { meltingShape, windowScale } from '../../../src/app/window-chart/window-scale.ts';
import type { ProcessWindow, WindowPlan } from '../../../src/model/process-window.ts';

const plan = (patch: Partial<WindowPlan>): WindowPlan => ({
  speed: 50,
  lineEnergy: 0.35,
  incident: 0.37,
  width: 2.1,
  wanted: 2,
  peak: 361,
  hottest: 469,
  overMelting: 0.12,
  underSpoiling: 0.13,
  underPower: 4.36,
  ...patch,
});
const said = (patch: Partial<WindowPlan>) => roomsOf(plan(patch)).map(({ text, severity }) => [text, severity]);

describe('the room of the line energy in words', () => {
  it('says what is to spare, as a multiple where it is much', () => {
    expect(roomsOf(plan({}))[0].name).toBe('To melt 2.00 mm');
    expect(said({})).toEqual([
      ['12 % to spare', null],
      ['13 % to spare', null],
      ['5.4 times as much', null],
    ]);
  });

  it('says which way a plan is wrong, as gravely as the finding of the same', () => {
    expect(said({ overMelting: -0.77, underSpoiling: -0.2, underPower: -0.05 })).toEqual([
      ['77 % too little', 'warns'],
      ['20 % too much', 'blocks'],
      ['5 % too much', 'warns'],
    ]);
    expect(said({ overMelting: Number.NaN })[0]).toEqual(['no energy is enough', 'warns']);
    expect(said({ underSpoiling: Number.NaN })[1]).toEqual(['not reached', null]);
  });
});

it('cuts the map along the border where melting begins', () => {
  const window = {
    speeds: new Float64Array([10, 100, 1000]),
    energies: new Float64Array([0.1, 1]),
    onset: new Float64Array([Math.sqrt(0.1), 1, Number.NaN]),
  } as unknown as ProcessWindow;
  const scale = windowScale(window, 200, 100);
  expect(meltingShape(window, scale)).toBe('M0,50L100,0L100,0L0,0Z');
  expect(meltingShape({ ...window, onset: new Float64Array(3).fill(Number.NaN) }, scale)).toBe('');
});
