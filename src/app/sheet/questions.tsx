// What no file says and nobody may guess, asked above the sheet until it is answered.
import { pageStore, usePage } from '../store/page-store.ts';
import type { Question } from '../store/state.ts';

export function Questions() {
  const questions = usePage((state) => state.questions);
  if (questions.length === 0) return null;
  return (
    <div className="questions">
      {questions.map((question) => (
        <Asked key={question.pointer} question={question} />
      ))}
    </div>
  );
}

function Asked({ question: { kind, about, pointer, choices } }: { readonly question: Question }) {
  return (
    <fieldset className="asked">
      <legend>
        {kind === 'unit' ? 'In which unit is ' : 'What does '}
        <strong>{about}</strong>
        {kind === 'unit' ? '?' : ' do?'}
      </legend>
      <p>{kind === 'unit' ? 'An STL file does not say; a wrong unit makes a wrong plan.' : 'The plan waits for it.'}</p>
      <div className="segments">
        {choices.map((choice) => (
          <button
            key={choice}
            type="button"
            className="button small"
            onClick={() => pageStore.getState().edit(pointer, choice)}
          >
            {choice.replaceAll('-', ' ')}
          </button>
        ))}
      </div>
    </fieldset>
  );
}
