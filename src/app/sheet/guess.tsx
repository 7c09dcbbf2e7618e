// Says that a value was guessed or assumed, until it is confirmed or changed.
import { confirmGuess } from '../store/guesses.ts';
import { usePage } from '../store/page-store.ts';

interface GuessProps {
  readonly pointer: string;
  /** What was guessed. */
  readonly of: string;
}

export function Guess({ pointer, of }: GuessProps) {
  const guessed = usePage((state) => state.guessed.includes(pointer));
  if (!guessed) return null;
  return (
    <button
      type="button"
      className="guess"
      title="Guessed. Press to confirm it, or change it."
      aria-label={`Guessed: ${of}. Confirm.`}
      onClick={() => confirmGuess(pointer)}
    >
      ?
    </button>
  );
}
