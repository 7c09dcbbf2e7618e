import { describe, expect, it } from 'vitest';
import { HELP, readArguments, UsageError } from '../../src/cli/arguments.ts';

describe('the words of the command line', () => {
  it('reads each command', () => {
    expect(readArguments(['plan', 'a.job.json', '--out', 'x', '--json'])).toEqual({
      name: 'plan',
      job: 'a.job.json',
      out: 'x',
      json: true,
      progress: false,
    });
    expect(readArguments(['check', 'a.job.json', '--progress'])).toMatchObject({ name: 'check', progress: true });
    expect(readArguments(['inspect', 'a.stl', '--unit', 'mm'])).toMatchObject({ name: 'inspect', unit: 'mm' });
    expect(readArguments(['place', 'a.job.json', '--workers', '2', '--out', 'x'])).toEqual({
      name: 'place',
      job: 'a.job.json',
      out: 'x',
      workers: 2,
      json: false,
      progress: false,
    });
    expect(readArguments(['place', 'a.job.json'])).toMatchObject({ name: 'place', out: '', workers: 0 });
    expect(readArguments([])).toEqual({ name: 'help' });
    expect(readArguments(['--help'])).toEqual({ name: 'help' });
    expect(readArguments(['--version'])).toEqual({ name: 'version' });
  });

  it.each([
    [['weld', 'a']],
    [['plan']],
    [['plan', 'a']],
    [['plan', 'a', '--out']],
    [['plan', 'a', 'b', '--out', 'x']],
    [['check', 'a', '--out', 'x']],
    [['plan', 'a', '--out', 'x', '--unit', 'mm']],
    [['inspect', 'a', '--unit', 'furlong']],
    [['check', 'a', '--quickly']],
    [['place']],
    [['place', 'a', '--workers', '0']],
    [['place', 'a', '--workers', '1.5']],
    [['place', 'a', '--workers', '999']],
    [['place', 'a', '--out', '']],
    [['plan', 'a', '--out', 'x', '--workers', '2']],
    [['--json']],
  ])('refuses %j', (words) => {
    expect(() => readArguments(words)).toThrow(UsageError);
  });

  it('names every command and exit code in its help', () => {
    for (const word of ['plan', 'check', 'place', 'inspect', '--json', '0', '1', '2', '3', '4'])
      expect(HELP).toContain(word);
  });
});
