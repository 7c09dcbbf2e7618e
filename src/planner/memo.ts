// Keeps the last result of each stage and gives it back while what the stage reads has not changed.

/** A key is compared item by item with Object.is: records by identity, settings as text. */
export type MemoKey = readonly unknown[];

export interface Memo {
  /**
   * Result of `stage` in `slot` (a seam's name, a file): computed anew when `key` differs from that of the kept result.
   * A computation that throws keeps what was there.
   */
  run<T>(stage: string, slot: string, key: MemoKey, compute: () => T | Promise<T>): Promise<T>;
  /** Forgets the slots of `stage` that are not among `slots`. */
  keepOnly(stage: string, slots: ReadonlySet<string>): void;
  /** How often each stage was really computed. */
  readonly runs: ReadonlyMap<string, number>;
}

interface Entry {
  readonly key: MemoKey;
  readonly value: unknown;
}

export function createMemo(): Memo {
  const kept = new Map<string, Map<string, Entry>>();
  const runs = new Map<string, number>();
  return {
    runs,
    async run<T>(stage: string, slot: string, key: MemoKey, compute: () => T | Promise<T>): Promise<T> {
      const slots = kept.get(stage) ?? new Map<string, Entry>();
      kept.set(stage, slots);
      const entry = slots.get(slot);
      if (entry !== undefined && sameKey(entry.key, key)) return entry.value as T;
      runs.set(stage, (runs.get(stage) ?? 0) + 1);
      const value = await compute();
      slots.set(slot, { key, value });
      return value;
    },
    keepOnly(stage, slots) {
      const entries = kept.get(stage);
      for (const slot of entries?.keys() ?? []) if (!slots.has(slot)) entries?.delete(slot);
    },
  };
}

function sameKey(a: MemoKey, b: MemoKey): boolean {
  return a.length === b.length && a.every((item, index) => Object.is(item, b[index]));
}
