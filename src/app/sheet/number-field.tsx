// A number of the job: typed, stepped with the arrow keys, or dragged where a stretch of its range makes sense for the hand.
import { type KeyboardEvent, useId, useState } from 'react';
import { unitText } from '../chrome/unit-text.ts';
import { pageStore, usePage } from '../store/page-store.ts';
import { type FieldInfo, fieldInfo } from './field-info.ts';
import { FieldRow } from './field-row.tsx';
import { numberAt } from './job-reading.ts';
import { nudge, numberText, readTyped, stepOf } from './number-text.ts';

interface NumberFieldProps {
  readonly pointer: string;
  readonly label?: string | undefined;
}

export function NumberField({ pointer, label }: NumberFieldProps) {
  const id = useId();
  const info = fieldInfo(pointer);
  const value = usePage(({ job }) => numberAt(job, pointer));
  const [wrong, setWrong] = useState<string | null>(null);
  const slider = info.slider !== null && value !== null && (
    <Slider pointer={pointer} info={info} label={label ?? info.label} value={value} />
  );
  const complaint = wrong !== null && (
    <span className="field-wrong" role="alert" id={`${id}-wrong`}>
      {wrong}
    </span>
  );
  return (
    <FieldRow
      pointer={pointer}
      control={id}
      label={label}
      below={
        <>
          {complaint}
          {slider}
        </>
      }
    >
      <NumberInput id={id} pointer={pointer} value={value} onWrong={setWrong} />
      <span className="unit" aria-hidden="true">
        {unitText(info.unit)}
      </span>
    </FieldRow>
  );
}

interface NumberInputProps {
  readonly id?: string | undefined;
  readonly pointer: string;
  readonly value: number | null;
  /** Named by this where no label belongs to it. */
  readonly name?: string;
  /** Where the value goes, if not to the pointer as it stands. */
  readonly commit?: (value: number | undefined) => void;
  readonly onWrong: (why: string | null) => void;
}

/** The line a number stands on; what is being typed lives here until Enter or the next field. */
export function NumberInput({ id, pointer, value, name, commit, onWrong }: NumberInputProps) {
  const info = fieldInfo(pointer);
  const [draft, setDraft] = useState<string | null>(null);
  const [wrong, setWrong] = useState(false);
  const write = commit ?? ((next: number | undefined) => pageStore.getState().edit(pointer, next, pointer));
  const say = (why: string | null): void => {
    setWrong(why !== null);
    onWrong(why);
  };
  const settle = (): void => {
    if (draft === null) return;
    const typed = readTyped(draft, info);
    if (typed.kind === 'wrong') {
      say(typed.why);
      return;
    }
    if (typed.kind === 'number' && typed.value !== value) write(typed.value);
    if (typed.kind === 'empty') write(undefined);
    setDraft(null);
    say(null);
  };
  const onKeyDown = (event: KeyboardEvent<HTMLInputElement>): void => {
    if (event.key === 'Enter') settle();
    if (event.key === 'Escape' && draft !== null) {
      event.stopPropagation();
      setDraft(null);
      say(null);
    }
    const way = event.key === 'ArrowUp' ? 1 : event.key === 'ArrowDown' ? -1 : 0;
    if (way === 0 || value === null || draft !== null) return;
    event.preventDefault();
    write(nudge(value, way * stepOf(info, value) * (event.shiftKey ? 10 : 1), info));
  };
  return (
    <input
      id={id}
      className="number-input"
      inputMode="decimal"
      autoComplete="off"
      spellCheck={false}
      aria-label={name}
      aria-invalid={wrong}
      aria-describedby={id === undefined ? undefined : `${id}-note${wrong ? ` ${id}-wrong` : ''}`}
      placeholder="not set"
      value={draft ?? (value === null ? '' : numberText(value))}
      onChange={(event) => setDraft(event.target.value)}
      onFocus={(event) => event.target.select()}
      onBlur={settle}
      onKeyDown={onKeyDown}
    />
  );
}

interface SliderProps {
  readonly pointer: string;
  readonly info: FieldInfo;
  readonly label: string;
  readonly value: number;
}

/** Each step of a drag is an edit; all of them undo as one. */
function Slider({ pointer, info, label, value }: SliderProps) {
  const [low, high, step] = info.slider ?? [0, 1, 1];
  return (
    <input
      type="range"
      className="slider"
      aria-label={`${label}, slider`}
      aria-valuetext={`${numberText(value)} ${unitText(info.unit)}`}
      min={low}
      max={high}
      step={step}
      value={value}
      onChange={(event) => pageStore.getState().edit(pointer, Number(event.target.value), pointer)}
    />
  );
}
