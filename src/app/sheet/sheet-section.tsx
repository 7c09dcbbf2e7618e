// A section of the sheet: open it is filled in line by line, closed it says in one line what stands there.
import { type ReactNode, useState } from 'react';
import { usePage } from '../store/page-store.ts';
import type { JobDraft } from '../store/state.ts';

interface SheetSectionProps {
  readonly name: string;
  readonly open: boolean;
  /** One line of what stands in it. */
  readonly summary: (job: JobDraft) => string;
  readonly children: ReactNode;
}

export function SheetSection({ name, open, summary, children }: SheetSectionProps) {
  const [isOpen, setOpen] = useState(() => recall(name) ?? open);
  const line = usePage(({ job }) => summary(job));
  return (
    <details
      className="sheet-section"
      data-section={name.toLowerCase()}
      open={isOpen}
      onToggle={(event) => {
        setOpen(event.currentTarget.open);
        remember(name, event.currentTarget.open);
      }}
    >
      <summary>
        <h2>{name}</h2>
        <span className="sheet-summary">{line}</span>
      </summary>
      {isOpen && <div className="sheet-lines">{children}</div>}
    </details>
  );
}

const keyOf = (name: string): string => `raythread.sheet.${name}`;

function recall(name: string): boolean | null {
  try {
    const kept = localStorage.getItem(keyOf(name));
    return kept === null ? null : kept === 'open';
  } catch {
    return null;
  }
}

function remember(name: string, open: boolean): void {
  try {
    localStorage.setItem(keyOf(name), open ? 'open' : 'closed');
  } catch {
    // A browser that keeps nothing still shows the sheet.
  }
}
