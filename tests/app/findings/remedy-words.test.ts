import { describe, expect, it } from 'vitest';
import { remedyPieces } from '../../../src/app/findings/remedy-words.ts';
import { RULES } from '../../../src/checks/severity.ts';

const read = (remedy: string): string =>
  remedyPieces(remedy, 1)
    .map((piece) => (typeof piece === 'string' ? piece : `[${piece.label} ${piece.pointer}]`))
    .join('');

describe('what to try, in the words of the sheet', () => {
  it('names fields by their labels, wherever they stand in the job', () => {
    expect(read('raise line_energy_J_mm, set process.aim to the wanted width, or take a larger spot')).toBe(
      'raise [Line energy /process/line_energy_J_mm], set [Energy /process/aim] to the wanted width, or take a larger spot',
    );
    expect(read('set run_in_mm to at least 12.5 (now 10)')).toBe(
      'set [Run-in /seams/1/run_in_mm] to at least 12.5 (now 10)',
    );
    expect(read('raise spot_acceleration_mm_s2 if the cell can')).toBe(
      'raise [Spot gains along /limits/spot_acceleration_mm_s2] if the cell can',
    );
    expect(read('give the turn as a number (head.turn)')).toBe('give the turn as a number ([Turn /head/turn])');
  });

  it('leaves words that are no field', () => {
    const plain = 'open or doubled faces; import again with a finer tessellation.Then look';
    expect(remedyPieces(plain, 0)).toEqual([plain]);
    expect(remedyPieces('', 0)).toEqual([]);
  });

  it('leaves no key of the job in any remedy but of what the sheet does not hold', () => {
    const left = Object.values(RULES).flatMap(({ remedy }) =>
      remedyPieces(remedy, 0).flatMap((piece) =>
        typeof piece === 'string' ? (piece.match(/\b\w+_\w+\b|\b(?:process|head|limits|travel)\.\w+/g) ?? []) : [],
      ),
    );
    expect(left.toSorted()).toEqual(['absorption_1_mm', 'face_near_mm', 'widening_mm_mm']);
  });
});
