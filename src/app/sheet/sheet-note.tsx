// The foot of the sheet: what the field under the hand does, how far it goes, what it is when nobody says.
import { fieldInfo } from './field-info.ts';
import { standardText } from './field-row.tsx';
import { rangeText } from './number-text.ts';

export function SheetNote({ pointer }: { readonly pointer: string | null }) {
  if (pointer === null) {
    return (
      <footer className="sheet-note quiet">
        Point at a line to read what it does, how far it goes and its default. A bar beside a line: not the default.
      </footer>
    );
  }
  const info = fieldInfo(pointer);
  const range = rangeText(info);
  return (
    <footer className="sheet-note">
      <p>
        <strong>{info.label}</strong> <code className="quiet">{info.path}</code>
      </p>
      {info.description !== '' && <p>{info.description}</p>}
      <p className="quiet">
        {range !== '' && <span>{range}. </span>}
        {info.standard === undefined ? 'No default.' : `Default ${standardText(info.standard)}.`}
      </p>
    </footer>
  );
}
