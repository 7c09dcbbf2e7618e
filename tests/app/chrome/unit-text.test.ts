import { describe, expect, it } from 'vitest';
import { fixedText, quantityText, sensibleDecimals, unitText } from '../../../src/app/chrome/unit-text.ts';

describe('numbers and units on the screen', () => {
  it('write units as people do', () => {
    expect(
      ['deg', 'deg/s2', 'Cel', 'degC', 'mm/s2', 'J/mm2', '1', '/mm', '%', 'deg to the next limit'].map(unitText),
    ).toEqual(['°', '°/s²', '°C', '°C', 'mm/s²', 'J/mm²', '', '1/mm', '%', '° to the next limit']);
  });

  it('never show a zero that is negative, nor a number that is not known', () => {
    expect(fixedText(-0.004, 2)).toBe('0.00');
    expect(fixedText(-0.4, 1)).toBe('−0.4');
    expect(fixedText(Number.NaN, 2)).toBe('–');
    expect(quantityText(3, 1, 'deg')).toBe('3.0°');
    expect(quantityText(3, 1, 'mm')).toBe('3.0 mm');
    expect(quantityText(0.5, 2, '1')).toBe('0.50');
  });

  it('show about three digits', () => {
    expect([0.0123, 0.35, 1.2, 12.3, 123, -45, 0].map(sensibleDecimals)).toEqual([3, 3, 2, 1, 0, 1, 0]);
  });
});
