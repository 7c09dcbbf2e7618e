import { describe, expect, it } from 'vitest';
import {
  fixedText,
  quantityText,
  sensibleDecimals,
  sentenceText,
  unitText,
} from '../../../src/app/chrome/unit-text.ts';

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

  it('set the sentences of the kernel alike', () => {
    expect(sentenceText('The beam is 530 degC hot from -10.0 to 3.5 mm (-2 deg, 40 deg/s2)')).toBe(
      'The beam is 530 °C hot from −10.0 to 3.5 mm (−2°, 40°/s²)',
    );
    expect(sentenceText('Edge tub:3-7 of wave-pod-2.step stays, by 2-3 mm')).toBe(
      'Edge tub:3-7 of wave-pod-2.step stays, by 2-3 mm',
    );
    expect(sentenceText('It gains 900 mm/s2 on seam s2')).toBe('It gains 900 mm/s² on seam s2');
  });
});
