// The one error that bad input raises. A bug is not bad input: it throws whatever it throws.

/** What the person can act on: a stable code, a sentence, the place and a hint. */
export interface InputErrorFields {
  /** Stable, kebab-case, never reworded. */
  readonly code: string;
  /** One sentence a person understands, without a full stop at its end. */
  readonly sentence: string;
  /** File, JSON pointer, line, body or face; may be empty. */
  readonly place: string;
  /** What to try next. */
  readonly hint: string;
}

/** Bad input, never a bug. The message is the one line that the command line prints. */
export class InputError extends Error implements InputErrorFields {
  override readonly name = 'InputError';
  readonly code: string;
  readonly sentence: string;
  readonly place: string;
  readonly hint: string;

  constructor(code: string, sentence: string, place: string, hint: string) {
    super(`${code}: ${sentence} (${place}) - ${hint}`);
    this.code = code;
    this.sentence = sentence;
    this.place = place;
    this.hint = hint;
  }
}

/** The person cancelled the run: neither a bug nor bad input. */
export class Cancelled extends Error {
  override readonly name = 'Cancelled';
  constructor() {
    super('cancelled');
  }
}
