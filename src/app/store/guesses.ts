// Values that were guessed or assumed: marked until the person confirms or changes them. No step of undo of its own.
import { pageStore } from './page-store.ts';

export const markGuessed = (pointers: readonly string[]): void =>
  pageStore.setState(({ guessed }) => ({ guessed: [...new Set([...guessed, ...pointers])] }));

export const confirmGuess = (pointer: string): void =>
  pageStore.setState(({ guessed }) => ({ guessed: guessed.filter((other) => other !== pointer) }));
