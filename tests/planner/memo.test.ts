import { describe, expect, it } from 'vitest';
import { Cancelled } from '../../src/model/input-error.ts';
import { createMemo } from '../../src/planner/memo.ts';
import { settingsKey } from '../../src/planner/stage-inputs.ts';
import { createTask } from '../../src/planner/task-runner.ts';

describe('memo', () => {
  it('computes once while the key stays, again when any item changes, and counts', async () => {
    const memo = createMemo();
    const record = {};
    const ask = (key: unknown[]) => memo.run('aim', 'rim', key, () => ({}));
    const first = await ask([record, 'a']);
    expect(await ask([record, 'a'])).toBe(first);
    const second = await ask([record, 'b']);
    expect(second).not.toBe(first);
    expect(await ask([{}, 'b'])).not.toBe(second);
    expect(memo.runs.get('aim')).toBe(3);
  });

  it('keeps what it had when a computation throws', async () => {
    const memo = createMemo();
    const kept = await memo.run('seam', 'rim', ['a'], () => 'kept');
    await expect(
      memo.run('seam', 'rim', ['b'], () => {
        throw new Error('no');
      }),
    ).rejects.toThrow('no');
    expect(await memo.run('seam', 'rim', ['a'], () => 'new')).toBe(kept);
  });

  it('forgets the slots that are no longer named', async () => {
    const memo = createMemo();
    await memo.run('seam', 'rim', ['a'], () => 1);
    memo.keepOnly('seam', new Set(['other']));
    expect(await memo.run('seam', 'rim', ['a'], () => 2)).toBe(2);
  });

  it('tells maps apart by their entries', () => {
    expect(settingsKey({ m: new Map([['a', 1]]) })).not.toBe(settingsKey({ m: new Map([['a', 2]]) }));
  });
});

describe('task', () => {
  it('gives others a turn every 20 ms of work, reports then, and stops once cancelled', async () => {
    let clock = 0;
    let turns = 0;
    const said: string[] = [];
    const abort = new AbortController();
    const task = createTask({
      now: () => clock,
      yieldTurn: async () => {
        turns++;
      },
      signal: abort.signal,
      progress: (what, fraction) => said.push(`${what} ${fraction}`),
    });
    for (let i = 0; i < 100; i++) {
      await task.pause('work', i / 100);
      clock += 1;
    }
    expect(turns).toBe(4);
    expect(said[0]).toBe('work 0.2');
    abort.abort();
    await expect(task.pause('work', 1)).rejects.toBeInstanceOf(Cancelled);
    expect(() => task.check()).toThrow(Cancelled);
  });
});
